/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Torques: what was asked for, what the wrench was set to, and what that does to the bolts. */
#include "report/html.h"
#include "report/joint.h"
#include "report/put.h"
#include "report/svg.h"

static void put_alarm(FILE *out, const char *text)
{
	fputs(" <strong class=\"tag outside\">", out);
	fw_put(out, text);
	fputs("</strong>", out);
}

static void put_settings(FILE *out, const struct fw_report_joint *joint)
{
	const json_t *settings =
	    joint->tightened ? json_object_get(joint->tightened->ask, "settings") : NULL;
	char text[512];

	fputs("<div><dt>Set to</dt><dd>", out);
	fw_report_torques_text(text, sizeof text, settings);
	fw_put(out, text[0] ? text : "not recorded");
	if (fw_report_joint_otherwise(joint))
		put_alarm(out, "otherwise than asked");
	fputs("</dd></div>\n", out);
}

static void put_share(FILE *out, const struct fw_report_joint *joint)
{
	char text[128];

	if (!*fw_report_share_text(text, sizeof text, joint))
		return;
	fputs("<div><dt>Share</dt><dd>", out);
	fw_put(out, text);
	if (fw_report_joint_overloaded(joint))
		put_alarm(out, "can pass its proof load");
	fputs("</dd></div>\n", out);
}

static void put_warnings(FILE *out, const struct fw_report_joint *joint)
{
	const char *warning;

	for (size_t i = 0; (warning = fw_report_joint_warning(joint, i)) != NULL; i++) {
		fputs("<div><dt>Beware</dt><dd>", out);
		put_alarm(out, warning);
		fputs("</dd></div>\n", out);
	}
}

static void put_order(FILE *out, const json_t *order)
{
	size_t i;
	const json_t *bolt;

	if (json_array_size(order) == 0)
		return;
	fputs("<div><dt>Order</dt><dd>bolts ", out);
	json_array_foreach(order, i, bolt)
	    fprintf(out, "%s%lld", i ? ", " : "", (long long)json_integer_value(bolt));
	fputs("</dd></div>\n", out);
}

static void put_facts(FILE *out, const struct fw_report_joint *joint)
{
	const json_t *ask = joint->asked->ask, *value = joint->asked->value;
	char text[512];

	fw_html_fact(out, "Asked for",
	             fw_report_quantity_text(text, sizeof text, json_object_get(ask, "torque"), true));
	fw_html_fact(out, "Passes",
	             fw_report_torques_text(text, sizeof text, json_object_get(value, "passes")));
	put_settings(out, joint);
	fw_html_fact(out, "Thread", fw_get_text(ask, "thread"));
	fw_html_fact(out, "Class", fw_get_text(ask, "class"));
	fw_html_fact(out, "Hand",
	             fw_get_true(ask, "left_hand") ? "left: tightens anticlockwise" : NULL);
	fw_html_fact(out, "Friction", fw_report_friction_text(text, sizeof text, joint));
	fw_html_fact(
	    out, "Prevailing",
	    fw_report_quantity_text(text, sizeof text, json_object_get(ask, "prevailing"), false));
	fw_html_fact(out, "Adapter", fw_report_adapter_text(text, sizeof text, joint));
	fw_html_fact(out, "Tapped", fw_report_parent_text(text, sizeof text, joint));
	fw_html_fact(out, "Preload", fw_report_preload_text(text, sizeof text, joint));
	put_share(out, joint);
	put_warnings(out, joint);
	put_order(out, json_object_get(value, "order"));
	fputs("<div><dt>Source</dt><dd>", out);
	fw_html_source(out, json_object_get(ask, "source"));
	fputs("</dd></div>\n", out);
}

static void put_joint(FILE *out, const struct fw_report_joint *joint)
{
	const char *name = fw_get_text(joint->asked->ask, "name");

	fputs("<div class=\"joint\"><h3>", out);
	fw_put(out, name ? name : "Joint not named");
	fputs("</h3>\n<dl class=\"one\">\n", out);
	put_facts(out, joint);
	fputs("</dl>\n<figure>", out);
	const char *caption = fw_svg_bolts(out, joint->asked);
	if (caption)
		fprintf(out, "<figcaption>%s</figcaption>", caption);
	fputs("</figure>\n</div>\n", out);
}

void fw_html_joints(FILE *out, const struct fw_report_job *job)
{
	struct fw_report_joint joint = {NULL, NULL};
	bool open = false;

	while (fw_report_next_joint(job, &joint)) {
		if (!open)
			fw_html_section(out, "Torques");
		open = true;
		put_joint(out, &joint);
	}
	if (open)
		fw_html_close(out);
}
