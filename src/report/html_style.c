/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the page looks: on a screen, on a telephone, on paper. No fonts or files from elsewhere. */
#include "report/html.h"

static const char base[] =
    ":root{color-scheme:light}\n"
    "*{box-sizing:border-box}\n"
    "body{margin:0 auto;padding:1.5rem 1.25rem 3rem;max-width:60rem;background:#fff;color:#1b1b1b;"
    "font:1rem/1.45 system-ui,sans-serif;font-variant-numeric:tabular-nums;"
    "overflow-wrap:break-word}\n"
    "header{border-bottom:3px solid #1b1b1b;padding-bottom:1rem;margin-bottom:1.25rem}\n"
    ".kind{margin:0;font-size:.8rem;letter-spacing:.08em;text-transform:uppercase;color:#555}\n"
    "h1{margin:.1rem 0 0;font-size:1.9rem;line-height:1.15}\n"
    ".under{margin:.25rem 0 1rem;font-size:1.1rem;color:#333}\n"
    "h2{margin:2rem 0 .6rem;font-size:1.2rem;border-bottom:1px solid #999;padding-bottom:.2rem}\n"
    "h3{margin:1.25rem 0 .4rem;font-size:1rem}\n"
    "p{margin:.4rem 0}\n"
    "dl{margin:0;display:grid;grid-template-columns:1fr 1fr;gap:.25rem 2rem}\n"
    "dl>div{display:grid;grid-template-columns:7rem 1fr;gap:.5rem}\n"
    ".long td{white-space:pre-line}\n"
    "dl.worked{grid-template-columns:1fr}\ndl.worked>div{grid-template-columns:15rem 1fr}\n"
    "dl.one{grid-template-columns:1fr;align-content:start}\n"
    "dt{color:#555}\ndd{margin:0;min-width:0}\n"
    "small,.small{font-size:.85rem;color:#444}\n"
    "code{font-family:ui-monospace,monospace;font-size:.9em}\n"
    ".hash{font-size:.82rem;word-spacing:.1em}\n";

static const char tables[] =
    "table{border-collapse:collapse;width:100%;margin:.5rem 0;font-size:.92rem}\n"
    "th,td{text-align:left;vertical-align:top;padding:.3rem .6rem .3rem 0;"
    "border-bottom:1px solid #ccc}\n"
    "thead th{border-bottom:2px solid #1b1b1b;font-weight:600;vertical-align:bottom}\n"
    "td{white-space:pre-line}\n.long{overflow-wrap:anywhere}\n"
    ".quantity{white-space:nowrap}\n.many .quantity{white-space:normal}\n.many "
    ".day{white-space:nowrap}\n"
    ".log{font-size:.86rem;table-layout:fixed;overflow-wrap:anywhere}\n"
    ".log thead th:nth-child(1){width:2.8rem}\n.log thead th:nth-child(2){width:6rem}\n"
    ".log thead th:nth-child(3){width:36%}\n"
    ".log td:nth-child(1),.log td:nth-child(2){color:#444}\n"
    ".log .finding td{background:#f4f4f1}\n"
    ".log .struck td{color:#555}\n"
    ".log .struck s{text-decoration-thickness:1.5px}\n"
    ".log .phase th{padding:.9rem 0 .2rem;font-size:.95rem;border-bottom:1px solid #1b1b1b}\n"
    ".step{font-size:.8rem;color:#555}\n"
    ".grids{display:flex;flex-wrap:wrap;gap:1rem 2rem}\n"
    ".grids table{width:auto;flex:1 1 18rem;margin:0}\n"
    ".grids.block{display:block}\n.block table{margin-bottom:.8rem}\n"
    ".grids .wide{width:100%;table-layout:fixed}\n"
    ".grids th[scope=row]{font-weight:400}\n"
    ".grids .wide th:first-child{width:10rem}\n"
    "caption{text-align:left;font-weight:600;padding-bottom:.2rem}\n"
    ".pie{width:1em;height:1em;vertical-align:-.12em;margin-right:.35em}\n";

static const char outcome[] =
    ".outcome{border:2px solid #1b1b1b;padding:.9rem 1.1rem 1rem;margin:0 0 1.25rem}\n"
    ".outcome h2{margin:0 0 .4rem;border:0;padding:0;font-size:1.3rem}\n"
    ".outcome.alarm{border-width:2px 2px 2px 12px}\n"
    ".figure{border-top:1px solid #999;padding-top:.7rem;margin-top:.7rem;display:grid;"
    "grid-template-columns:minmax(0,1fr) minmax(0,1.1fr);gap:.5rem 2rem}\n"
    ".figure h3{margin:0;grid-column:1/-1;font-size:1.08rem}\n"
    ".figure dl{grid-template-columns:1fr;align-content:start}\n"
    ".figure dl>div{grid-template-columns:5.5rem 1fr}\n"
    ".value{font-size:1.05rem;font-weight:600;margin-right:.5em}\n"
    ".tag{display:inline-block;padding:0 .45em;border:1.5px solid #1b1b1b;font-weight:600;"
    "font-size:.88rem;line-height:1.5;border-radius:2px}\n"
    ".tag.within{border-color:#2f6b45;color:#1f5233;border-radius:1em}\n"
    ".tag.outside{border-width:1.5px 1.5px 1.5px 8px;background:#1b1b1b;color:#fff}\n"
    ".tag.doubtful{border-style:dashed}\n"
    ".tag.surprise{border:4px double #1b1b1b;line-height:1.2}\n"
    ".tag.conceded{border-width:3px}\n"
    ".concession{border:3px solid #1b1b1b;background:#f4f1e6;padding:.5rem .8rem "
    ".6rem;margin:.7rem "
    "0}\n"
    ".concession h3{margin:0 0 .3rem;font-size:1.08rem}\n"
    ".concession dl>div{grid-template-columns:5.5rem 1fr}\n"
    ".warn{border-left:8px solid #1b1b1b;padding:.3rem .8rem;margin:.6rem 0;font-weight:600}\n"
    ".sign{border:1px solid #999;padding:.6rem .9rem;margin:.5rem 0}\n"
    ".sign .name{font-size:1.15rem;font-weight:600}\n";

static const char figures[] =
    "figure{margin:.3rem 0;max-width:32rem}\n"
    "figcaption{font-size:.85rem;color:#444}\n"
    "figure svg{display:block;width:100%;height:auto;font:11px system-ui,sans-serif}\n"
    ".joint{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1fr);gap:0 2rem}\n"
    ".joint>h3,.joint>p{grid-column:1/-1}\n.joint figure{max-width:22rem}\n";

static const char marks[] =
    "svg text{fill:#1b1b1b}\n"
    "svg .name{font-weight:600}\nsvg .unit{fill:#444}\n"
    "svg .axis{stroke:#1b1b1b;stroke-width:1}\n"
    "svg .band{fill:#e2eae4}\n"
    "svg .edge{stroke:#2f6b45;stroke-width:1.5}\n"
    "svg .aim{stroke:#2f6b45;stroke-width:1;stroke-dasharray:3 3}\n"
    "svg .bar{stroke:#1b1b1b;stroke-width:1.2}\n"
    "svg .full{fill:#1b1b1b;stroke:#1b1b1b;stroke-width:1.5}\n"
    "svg .hollow{fill:#fff;stroke:#1b1b1b;stroke-width:1.5}\n"
    "svg .cross{stroke:#1b1b1b;stroke-width:2.4}\n"
    "svg .alarm{font-weight:700}\n"
    "svg .bolt{fill:#fff;stroke:#1b1b1b;stroke-width:1.5}\n"
    "svg .turn{font-size:13px;font-weight:700}\nsvg .path{stroke:#aaa;stroke-width:1}\n";

static const char chart[] =
    "svg{font:11px system-ui,sans-serif;font-variant-numeric:tabular-nums}\n"
    "svg .paper{fill:#fff}\n"
    "svg .mean{stroke:#1b1b1b;stroke-width:1}\n"
    "svg .control{stroke:#1b1b1b;stroke-width:1.2;stroke-dasharray:6 3}\n"
    "svg .thread{fill:none;stroke:#777;stroke-width:.7}\n"
    "svg .hair{stroke:#777;stroke-width:.4}\nsvg .jump{stroke:#1b1b1b;stroke-width:1.6}\n"
    "svg .halo{paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}\n"
    "svg .dot{fill:#1b1b1b}\nsvg .ring{fill:none;stroke:#1b1b1b;stroke-width:1.4}\n";

static const char evidence[] =
    ".evidence{display:grid;grid-template-columns:repeat(auto-fill,minmax(18rem,1fr));gap:1rem "
    "1.5rem}\n"
    ".evidence figure{margin:0;max-width:none;min-width:0}\n"
    ".evidence img{display:block;max-width:100%;max-height:24rem;height:auto;width:auto;"
    "border:1px solid #999;cursor:zoom-in}\n"
    ".evidence input{position:absolute;opacity:0}\n"
    ".evidence input:focus-visible+img{outline:3px solid #1b1b1b}\n"
    ".evidence figure:has(input:checked){grid-column:1/-1}\n"
    ".evidence input:checked+img{max-height:none;cursor:zoom-out}\n"
    ".evidence audio{display:block;width:100%}\n"
    ".evidence .small{overflow-wrap:anywhere}\n"
    ".aside{border:1px solid #999;padding:.5rem .8rem}\n";

static const char narrow[] =
    "@media screen and (max-width:42rem){\n"
    "body{padding:1rem .9rem 2rem}\nh1{font-size:1.5rem}\n"
    "dl,.figure,.joint{grid-template-columns:minmax(0,1fr)}\n"
    ".outcome{padding:.6rem .6rem .7rem}\n.outcome.alarm{border-left-width:8px}\n"
    ".log thead,.cards thead{position:absolute;left:-999rem}\n"
    ".log,.log tbody,.log tr,.log td,.log th,.cards,.cards tbody,.cards tr,.cards "
    "td{display:block}\n"
    ".log tr,.cards tr{border-bottom:1px solid #999;padding:.4rem .3rem}\n"
    ".cards th[scope=row]{display:block;border:0;padding-bottom:0;font-weight:600}\n"
    ".log td,.cards td{border:0;padding:.08rem 0 .08rem "
    "6.5rem;min-height:1.4em;position:relative}\n"
    ".log td:before,.cards td:before{content:attr(data-column);position:absolute;left:0;"
    "color:#555;font-size:.82rem}\n"
    ".log td:nth-child(1),.log td:nth-child(2){display:inline-block;padding-left:0;"
    "margin-right:.8em}\n"
    ".log td:nth-child(1):before{content:'No. ';position:static}\n"
    ".log td:nth-child(2):before{content:''}\n"
    ".log td:nth-child(2) br{display:none}\n.log td:empty{display:none}\n"
    ".log .finding{background:#f4f4f1}\n}\n";

static const char paper[] =
    "@page{margin:16mm 15mm 18mm}\n"
    "@media print{\n"
    "html{font-size:9.5pt}\nbody{max-width:none;padding:0;color:#000}\n"
    "h2{margin-top:1.4rem}\n"
    "h2,h3,.log .phase,caption{break-after:avoid}\n"
    "tr,.figure,.sign,.concession,figure,.grids table:not(.wide),.joint,.warn{break-inside:avoid}\n"
    "thead{display:table-header-group}\n"
    "section.long{break-before:page}\n"
    ".log .finding td{background:none}\n.log td:first-child{border-left:3px solid transparent;"
    "padding-left:4px}\n"
    ".log .finding td:first-child{border-left-color:#888}\n"
    "small,.small,dt,.step,.log td,.under,.kind,figcaption{color:#000}\n"
    ".tag{color:#000;border-color:#000}\n"
    ".tag.outside{background:none;color:#000;border-width:2px 2px 2px 8px}\n"
    ".tag.within{color:#000;border-color:#000}\n"
    ".concession{background:none}\n"
    ".evidence{display:block}\n.evidence figure{display:inline-block;vertical-align:top;width:48%;"
    "margin:0 1.5% .8rem 0}\n.evidence img{max-height:8cm}\n"
    ".evidence audio{display:none}\n"
    "svg .band{fill:#e8e8e8;print-color-adjust:exact}\n"
    "svg .edge,svg .aim{stroke:#000}\n"
    "figure{max-width:11cm}\n.joint figure{max-width:8cm}\n}\n";

void fw_html_style(FILE *out)
{
	static const char *const parts[] = {base,  tables,   outcome, figures,
	                                    marks, evidence, narrow,  paper};

	fputs("<style>\n", out);
	for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
		fputs(parts[i], out);
	fputs("</style>\n", out);
}

void fw_html_svg_style(FILE *out)
{
	fputs("<style>\n", out);
	fputs(marks, out);
	fputs(chart, out);
	fputs("</style>\n", out);
}
