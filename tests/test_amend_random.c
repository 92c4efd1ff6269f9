/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Made-up procedures, answered, amended, taken back and resumed at random, against a model that
 * knows nothing of records: it keeps the answers that stand, a copy of all of them for each step
 * back, and runs the procedure through them by the rules of docs/replay.md, written anew here.
 * Which findings stand is asked of SQLite. FITWRIGHT_AMEND_JOBS sets how many jobs are played. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "draws.h"
#include "script/json.h"
#include "script/script.h"
#include "trail_make.h"

#define ANSWERS_MOST 200
#define STATES_MOST  120

/* ---- procedures ---- */

struct writer {
	FILE *out;
	uint64_t *seed;
	unsigned ids, choices, plays;
};

static unsigned pick(uint64_t *seed, unsigned count)
{
	return (unsigned)(next(seed) % count);
}

static void write_block(struct writer *w, unsigned depth, unsigned steps);

/* Something that was answered before, for the words of a step. */
static void write_known(struct writer *w)
{
	if (w->plays > 0 && pick(w->seed, 2))
		fprintf(w->out, " .. tostring(m[%u])", pick(w->seed, w->plays) + 1);
	else if (w->choices > 0)
		fprintf(w->out, " .. tostring(c[%u])", pick(w->seed, w->choices) + 1);
}

static void write_step(struct writer *w, unsigned depth)
{
	unsigned id = ++w->ids;

	switch (pick(w->seed, depth < 2 ? 9 : 6)) {
	case 0:
		fprintf(w->out, "task { id = 's%u', say = 'Do it.'", id);
		if (pick(w->seed, 3) == 0)
			write_known(w);
		fprintf(w->out, " }\n");
		return;
	case 1:
	case 2:
		fprintf(w->out,
		        "m[%u] = measure { id = 's%u', say = 'Read.', unit = mm, gauge = 'micrometer', "
		        "readings = %u, spread = mm(9) }\n",
		        ++w->plays, id, 1 + pick(w->seed, 2));
		return;
	case 3:
		fprintf(w->out, "note { id = 's%u', say = 'Words.'", id);
		if (pick(w->seed, 3) == 0)
			write_known(w);
		fprintf(w->out, " }\n");
		return;
	case 4:
		fprintf(w->out,
		        "c[%u] = choose { id = 's%u', say = 'Which?', options = { 'a', 'b', 'c' } }\n",
		        ++w->choices, id);
		return;
	case 5:
		if (w->plays > 0)
			fprintf(w->out,
			        "if m[%u] then check { id = 's%u', name = 'x', value = m[%u], limits = wide } "
			        "end\n",
			        w->plays, id, w->plays);
		else
			fprintf(w->out, "sign { id = 's%u', role = 'technician' }\n", id);
		return;
	case 6:
		fprintf(w->out, "if c[%u] == 'a' then\n",
		        w->choices > 0 ? 1 + pick(w->seed, w->choices) : 1);
		write_block(w, depth + 1, 1 + pick(w->seed, 3));
		fprintf(w->out, "else\n");
		write_block(w, depth + 1, pick(w->seed, 3));
		fprintf(w->out, "end\n");
		return;
	case 7:
		fprintf(w->out, "for _ = 1, 3 do\n");
		write_block(w, depth + 1, 1 + pick(w->seed, 2));
		fprintf(w->out,
		        "if choose { id = 's%u', say = 'Again?', options = { 'no', 'yes', 'a' } } == 'no' "
		        "then break end\nend\n",
		        id);
		return;
	default:
		/* Two in an order that depends on what was answered. */
		fprintf(w->out,
		        "local function one() task { id = 's%ua', say = 'One.' } end\n"
		        "local function two() m[%u] = measure { id = 's%ub', say = 'Two.', unit = mm, "
		        "gauge = 'micrometer', spread = mm(9) } end\n"
		        "if c[1] == 'b' then two() one() else one() two() end\n",
		        id, ++w->plays, id);
		return;
	}
}

static void write_block(struct writer *w, unsigned depth, unsigned steps)
{
	fprintf(w->out, "do\n");
	for (unsigned i = 0; i < steps; i++)
		write_step(w, depth);
	fprintf(w->out, "end\n");
}

static char *write_procedure(uint64_t *seed)
{
	char *text = NULL;
	size_t size = 0;
	struct writer w = {open_memstream(&text, &size), seed, 0, 0, 0};

	assert_non_null(w.out);
	fprintf(w.out, "return procedure { title = 'R', phases = { 'P' }, run = function()\n"
	               "phase 'P'\nlocal m, c = {}, {}\n"
	               "local wide = limits { min = mm(-100), max = mm(100), source = owner 'me' }\n");
	write_step(&w, 0);
	write_block(&w, 0, 5 + pick(seed, 8));
	if (pick(seed, 4))
		fprintf(w.out, "sign { id = 'release', role = 'technician' }\n");
	fprintf(w.out, "end }\n");
	fclose(w.out);
	return text;
}

/* ---- the model ---- */

struct given {
	char *question; /* JSON */
	char *place;    /* step, item and round */
	char typed[16];
	bool sign;
	int time, first; /* when it was given, and when the answer was that it began with */
};

/* Answers that stand; `order` is that in which the procedure met them. Strings are never freed
 * before the end. */
struct state {
	struct given *list[ANSWERS_MOST];
	size_t count;
	size_t order[ANSWERS_MOST], met;
	char pending[400]; /* "" at the end */
	bool bench;        /* the pending question is of work at the bench */
	size_t lapsed;
	int time; /* how many answers were given when it was left */
};

struct model {
	const char *text;
	struct state now, *before[STATES_MOST];
	size_t states;
	int time;
	FILE *findings; /* of the last walk */
	char *found;
	size_t found_size;
	struct given *all[4000];
	size_t made;
};

static int on_finding(void *context, const char *step, const json_t *ask, const json_t *value,
                      struct fw_error *err)
{
	struct model *model = context;
	char *a = fw_json_text(ask), *v = fw_json_text(value);

	(void)err;
	fprintf(model->findings, "%s %s %s\n", step, a, v);
	free(a);
	free(v);
	return FW_OK;
}

static int on_module(void *context, const char *name, char **bytes, size_t *size,
                     struct fw_error *err)
{
	(void)context, (void)bytes, (void)size;
	return fw_fail(err, FW_ERR_NOT_FOUND, "no module %s", name);
}

static void tell_place(char out[400], const json_t *question)
{
	const char *item = json_string_value(json_object_get(question, "item"));

	snprintf(out, 400, "%s/%s/%d", json_string_value(json_object_get(question, "step")),
	         item ? item : "-", (int)json_integer_value(json_object_get(question, "round")));
}

static void drop(struct state *s, size_t at)
{
	s->list[at] = s->list[--s->count];
	s->lapsed++;
}

static size_t find_place(const struct state *s, const char *place)
{
	size_t at = 0;

	while (at < s->count && strcmp(s->list[at]->place, place) != 0)
		at++;
	return at;
}

static void hand_over(struct fw_script *script, json_t *question, const struct given *given)
{
	struct fw_error error = {0};
	struct fw_question_view view = {0};
	struct fw_answer answer;
	char buffer[64];

	assert_ok(fw_question_view_set(&view, question, &error));
	assert_ok(
	    fw_answer_read(&answer, &view.question, given->typed, true, buffer, sizeof buffer, &error));
	assert_ok(fw_script_answer(script, &answer, &error));
	fw_question_view_clear(&view);
}

/* Whether `given` was met in this walk. */
static bool was_met(struct given *const *met, size_t count, const struct given *given)
{
	for (size_t i = 0; i < count; i++)
		if (met[i] == given)
			return true;
	return false;
}

/* Runs the procedure through the answers that stand; those that don't fit any more are dropped. */
static void walk(struct model *model)
{
	struct state *s = &model->now;
	struct fw_error error = {0};
	struct fw_script *script;
	const struct fw_script_host host = {model, on_finding, on_module, FW_RULES};
	const struct fw_script_text text = {"procedure.lua", model->text, strlen(model->text)};
	struct given *met[ANSWERS_MOST];
	int bench = -1; /* when the last work at the bench was first answered */
	json_t *question;

	free(model->found);
	model->found = NULL;
	model->findings = open_memstream(&model->found, &model->found_size);
	s->met = 0;
	s->pending[0] = '\0';
	s->bench = false;
	assert_ok(fw_script_new(&script, &text, NULL, &host, &error));
	assert_ok(fw_script_start(script, &error));
	while ((question = fw_script_question(script)) != NULL) {
		const char *ask = json_string_value(json_object_get(question, "ask"));
		bool work = strcmp(ask, "done") == 0 || strcmp(ask, "quantity") == 0;
		char *words = fw_json_text(question), place[400];
		tell_place(place, question);
		size_t at = find_place(s, place);
		struct given *given = at < s->count ? s->list[at] : NULL;
		bool stays = given && strcmp(given->question, words) == 0 && given->first > bench;
		free(words);
		if (!stays) {
			if (given)
				drop(s, at);
			for (size_t i = s->count; work && i > 0; i--)
				if (!was_met(met, s->met, s->list[i - 1]))
					drop(s, i - 1);
			snprintf(s->pending, sizeof s->pending, "%s", place);
			s->bench = work;
			break;
		}
		met[s->met++] = given;
		bench = work ? given->first : bench;
		hand_over(script, question, given);
	}
	for (size_t i = s->count; !question && i > 0; i--)
		if (!was_met(met, s->met, s->list[i - 1]))
			drop(s, i - 1);
	for (size_t i = 0; i < s->met; i++)
		for (size_t k = 0; k < s->count; k++)
			if (s->list[k] == met[i])
				s->order[i] = k;
	fw_script_free(script);
	fclose(model->findings);
}

static void remember(struct model *model)
{
	assert_true(model->states < STATES_MOST);
	struct state *copy = malloc(sizeof *copy);
	assert_non_null(copy);
	*copy = model->now;
	copy->time = model->time;
	model->before[model->states++] = copy;
	model->now.lapsed = 0;
}

static struct given *new_given(struct model *model)
{
	struct given *given = calloc(1, sizeof *given);

	assert_true(model->made < sizeof model->all / sizeof *model->all);
	assert_non_null(given);
	given->time = given->first = ++model->time;
	model->all[model->made++] = given;
	return given;
}

static void model_answer(struct model *model, const struct fw_question *q, const char *words,
                         const char *typed)
{
	char place[400];

	remember(model);
	snprintf(place, sizeof place, "%s/%s/%u", q->step, q->item ? q->item : "-", q->round);
	struct given *given = new_given(model);
	given->question = strdup(words);
	given->place = strdup(place);
	given->sign = q->ask == FW_ASK_SIGN;
	snprintf(given->typed, sizeof given->typed, "%s", typed);
	model->now.list[model->now.count++] = given;
	walk(model);
}

/* Amends the answer that the procedure met at place `at`. */
static void model_amend(struct model *model, size_t at, const char *typed)
{
	struct state *s = &model->now;

	remember(model);
	struct given *old = s->list[s->order[at]], *given = new_given(model);
	given->question = strdup(old->question);
	given->place = strdup(old->place);
	given->first = old->first;
	snprintf(given->typed, sizeof given->typed, "%s", typed);
	s->list[s->order[at]] = given;
	for (size_t i = s->count; i > 0; i--)
		if (s->list[i - 1]->sign && s->list[i - 1]->time > old->time)
			drop(s, i - 1);
	walk(model);
}

static void model_back(struct model *model)
{
	struct state *last = NULL;
	int latest = 0;

	/* The last that stands: a reopening may have struck what was given after it. */
	for (size_t i = 0; i < model->now.count; i++)
		latest = model->now.list[i]->time > latest ? model->now.list[i]->time : latest;
	do {
		free(last);
		last = model->before[--model->states];
	} while (last->time >= latest);
	model->now = *last;
	free(last);
	walk(model);
}

static void model_free(struct model *model)
{
	while (model->states > 0)
		free(model->before[--model->states]);
	for (size_t i = 0; i < model->made; i++) {
		free(model->all[i]->question);
		free(model->all[i]->place);
		free(model->all[i]);
	}
	free(model->found);
	free(model);
}

/* ---- the engine beside it ---- */

struct play {
	struct bench bench;
	struct fw_job *job;
	struct model *model;
	uint64_t seed;
	size_t amended, back, lapsed, kept, resumed, reopened;
};

/* Entries that stand, by a fold of SQLite's. */
static const char standing[] =
    "WITH gone AS (SELECT e.seq FROM entry e WHERE e.job = 1 AND e.kind <> 'evidence' AND EXISTS "
    "(SELECT 1 "
    "  FROM entry w WHERE w.job = 1 AND w.kind = 'withdraw' AND w.seq > e.seq"
    "  AND json_extract(w.value, '$.entry') <= e.seq)),"
    " live AS (SELECT * FROM entry WHERE job = 1 AND seq NOT IN (SELECT seq FROM gone)),"
    " struck AS ("
    "  SELECT json_extract(value, '$.amends') AS seq FROM live WHERE kind = 'amend'"
    "  UNION SELECT f.seq FROM live f JOIN live a ON a.kind = 'amend' AND f.kind = 'finding'"
    "   AND f.seq < a.seq AND f.seq > json_extract(a.value, '$.amends')"
    "  UNION SELECT j.value FROM live l, json_each(l.value, '$.entries') j WHERE l.kind IN "
    "('lapse', 'reopen')"
    "  UNION SELECT r.seq FROM live r JOIN live o ON r.kind = 'release' AND o.kind = 'reopen'"
    "   AND r.seq < o.seq)"
    " SELECT coalesce(group_concat(line, ''), '') FROM (SELECT step || ' ' || ask || ' ' || value "
    "|| char(10) AS"
    "  line FROM live WHERE kind = 'finding' AND seq NOT IN (SELECT seq FROM struck) ORDER BY seq)";

static char *standing_findings(const struct bench *bench)
{
	static char text[1 << 20];

	make_ask(bench->file, standing, text, sizeof text);
	return text;
}

struct listing {
	const struct model *model;
	size_t count;
	int64_t seq[ANSWERS_MOST];
};

static int list_given(void *context, const struct fw_given *given)
{
	struct listing *listing = context;
	const struct state *s = &listing->model->now;

	assert_true(listing->count < s->met);
	const struct given *mine = s->list[s->order[listing->count]];
	assert_string_equal(given->typed, mine->typed);
	assert_int_equal(strncmp(mine->place, given->step, strlen(given->step)), 0);
	assert_int_equal(given->signature, mine->sign);
	listing->seq[listing->count++] = given->seq;
	return 0;
}

static void list_all(struct play *p, struct listing *out)
{
	struct fw_error error = {0};

	memset(out, 0, sizeof *out);
	out->model = p->model;
	assert_ok(fw_job_given(p->job, list_given, out, &error));
	assert_int_equal(out->count, p->model->now.met);
}

static void pending_place(char out[400], const struct fw_job *job)
{
	const struct fw_question *q = fw_job_pending(job);

	snprintf(out, 400, "%s/%s/%u", q ? q->step : "", q && q->item ? q->item : "-",
	         q ? q->round : 0);
	if (!q)
		out[0] = '\0';
}

static void same_as_model(struct play *p)
{
	char place[400];

	pending_place(place, p->job);
	assert_string_equal(place, p->model->now.pending);
	assert_int_equal(fw_job_answered(p->job), p->model->now.count);
}

static void resume(struct play *p)
{
	fw_job_close(p->job);
	p->job = bench_resume(&p->bench, 1);
	p->resumed++;
	same_as_model(p);
}

static const char *make_typed(uint64_t *seed, const struct fw_question *q)
{
	static const char *const plays[] = {"0.10", "0.20", "0.30"};
	static const char *const words[] = {"one", "two", "three"};

	switch (q->ask) {
	case FW_ASK_DONE:
		return "";
	case FW_ASK_QUANTITY:
		return plays[pick(seed, 3)];
	case FW_ASK_CHOICE:
		return q->options[pick(seed, (unsigned)q->option_count)];
	case FW_ASK_TEXT:
		return words[pick(seed, 3)];
	case FW_ASK_SIGN:
		return "R. Example";
	}
	return "";
}

/* The pending question's words, out of the model's own script: it asks the same. */
static char *pending_words(struct model *model)
{
	struct fw_error error = {0};
	struct fw_script *script;
	const struct fw_script_host host = {model, on_finding, on_module, FW_RULES};
	const struct fw_script_text text = {"procedure.lua", model->text, strlen(model->text)};
	char *nothing = NULL;
	size_t size;

	model->findings = open_memstream(&nothing, &size);
	assert_ok(fw_script_new(&script, &text, NULL, &host, &error));
	assert_ok(fw_script_start(script, &error));
	for (size_t i = 0; i < model->now.met; i++)
		hand_over(script, fw_script_question(script), model->now.list[model->now.order[i]]);
	char *words = fw_json_text(fw_script_question(script));
	fw_script_free(script);
	fclose(model->findings);
	free(nothing);
	return words;
}

static void answer(struct play *p)
{
	struct fw_error error = {0};
	const struct fw_question *q = fw_job_pending(p->job);
	char typed[16];

	snprintf(typed, sizeof typed, "%s", make_typed(&p->seed, q));
	char *words = pending_words(p->model);
	model_answer(p->model, q, words, typed);
	free(words);
	assert_ok(fw_job_answer(p->job, typed, true, &error));
	p->lapsed += p->model->now.lapsed;
}

static void take_back(struct play *p)
{
	struct fw_error error = {0};

	if (p->model->states == 0) {
		assert_code(fw_job_withdraw(p->job, "nothing there", &error), FW_ERR_STATE);
		return;
	}
	assert_ok(fw_job_withdraw(p->job, "by chance", &error));
	model_back(p->model);
	p->back++;
}

/* Another answer than the one that stands; false when there is no other. */
static bool other_typed(struct play *p, const struct given *given, char typed[16])
{
	json_t *question = json_loads(given->question, 0, NULL);
	struct fw_question_view view = {0};
	struct fw_error error = {0};

	assert_ok(fw_question_view_set(&view, question, &error));
	for (int i = 0; i < 8; i++) {
		snprintf(typed, 16, "%s", make_typed(&p->seed, &view.question));
		if (strcmp(typed, given->typed) != 0)
			break;
	}
	fw_question_view_clear(&view);
	json_decref(question);
	return strcmp(typed, given->typed) != 0;
}

static void amend(struct play *p)
{
	struct fw_error error = {0};
	struct fw_amendment *look;
	struct listing listing;
	char typed[16];

	list_all(p, &listing);
	if (listing.count == 0)
		return;
	size_t at = pick(&p->seed, (unsigned)listing.count);
	const struct state *s = &p->model->now;
	const struct given *given = s->list[s->order[at]];
	if (given->sign) {
		assert_code(fw_job_amend(p->job, listing.seq[at], "A. Sample", false, "x", &error),
		            FW_ERR_STATE);
		return;
	}
	if (!other_typed(p, given, typed)) {
		assert_code(fw_job_amend(p->job, listing.seq[at], given->typed, true, "x", &error),
		            FW_ERR_INPUT);
		return;
	}
	size_t count = s->count;
	int64_t entries = bench_entries(p->bench.trail, 1);
	assert_ok(fw_job_amend_look(p->job, listing.seq[at], typed, true, &look, &error));
	assert_int_equal(bench_entries(p->bench.trail, 1), entries);
	assert_ok(fw_job_amend(p->job, listing.seq[at], typed, true, "by chance", &error));
	model_amend(p->model, at, typed);
	/* What was foretold came. */
	assert_int_equal(look->lapsed, p->model->now.lapsed);
	assert_int_equal(count, p->model->now.count + p->model->now.lapsed);
	assert_string_equal(look->was, given->typed);
	assert_string_equal(look->will_be, typed);
	assert_int_equal(look->next != NULL, p->model->now.pending[0] != '\0');
	p->amended++;
	p->lapsed += look->lapsed;
	p->kept += look->kept;
	fw_amendment_free(look);
}

/* The signatures at the end, or the last answer, are struck. */
static void reopen(struct play *p)
{
	struct fw_error error = {0};
	struct state *s = &p->model->now;
	struct given *gone[ANSWERS_MOST];
	size_t count = 0;

	fw_job_close(p->job);
	p->job = NULL;
	if (s->met == 0) {
		assert_code(fw_job_reopen(p->bench.trail, 1, NULL, "R. Example", "by chance", NULL,
		                          bench_clock, &p->bench.clock, &error),
		            FW_ERR_STATE);
		return;
	}
	assert_ok(fw_job_reopen(p->bench.trail, 1, NULL, "R. Example", "by chance", NULL, bench_clock,
	                        &p->bench.clock, &error));
	for (size_t i = s->met; i > 0 && s->list[s->order[i - 1]]->sign; i--)
		gone[count++] = s->list[s->order[i - 1]];
	if (count == 0)
		gone[count++] = s->list[s->order[s->met - 1]];
	for (size_t i = s->count; i > 0; i--)
		if (was_met(gone, count, s->list[i - 1]))
			s->list[i - 1] = s->list[--s->count];
	walk(p->model);
	p->job = bench_resume(&p->bench, 1);
	p->reopened++;
}

static void check_all(struct play *p)
{
	struct bench_audit audit;
	struct listing listing;

	list_all(p, &listing);
	assert_string_equal(standing_findings(&p->bench), p->model->found);
	bench_audit_sound(&audit, p->bench.trail, 1);
	assert_int_equal(audit.sum.answers, p->model->now.met);
	assert_int_equal(audit.sum.released, p->model->now.pending[0] == '\0');
}

/* A job answered straight with what stands comes to the same. */
static void check_straight(struct play *p, const char *path)
{
	struct bench bench;
	struct fw_error error = {0};
	struct fw_job *job;
	char place[400];
	const struct fw_job_begin begin = {path, NULL, "gearbox", "B. Hand"};
	const struct state *s = &p->model->now;

	bench_open(&bench);
	assert_ok(fw_job_begin(&job, bench.trail, &begin, bench_clock, &bench.clock, &error));
	for (size_t i = 0; i < s->met; i++)
		assert_ok(fw_job_answer(job, s->list[s->order[i]]->typed, true, &error));
	pending_place(place, job);
	assert_string_equal(place, s->pending);
	fw_job_close(job);
	assert_string_equal(standing_findings(&bench), p->model->found);
	bench_close(&bench);
}

static void play_job(struct play *p, unsigned turns)
{
	struct fw_error error = {0};
	char path[PATH_MAX];
	char *text = write_procedure(&p->seed);
	const struct fw_job_begin begin = {path, NULL, "gearbox", "B. Hand"};

	bench_open(&p->bench);
	bench_write(&p->bench, "procedure.lua", text, path);
	p->model = calloc(1, sizeof *p->model);
	p->model->text = text;
	walk(p->model);
	assert_ok(fw_job_begin(&p->job, p->bench.trail, &begin, bench_clock, &p->bench.clock, &error));
	for (unsigned turn = 0; turn < turns && p->job; turn++) {
		unsigned kind = pick(&p->seed, 20);
		if (!fw_job_pending(p->job)) {
			check_all(p);
			reopen(p);
			if (!p->job)
				break;
		} else if (kind < 11) {
			answer(p);
		} else if (kind < 13) {
			take_back(p);
		} else if (kind < 19) {
			amend(p);
		} else {
			resume(p);
		}
		same_as_model(p);
		if (turn % 5 == 4)
			check_all(p);
	}
	if (p->job)
		check_all(p);
	fw_job_close(p->job);
	p->job = NULL;
	check_straight(p, path);
	model_free(p->model);
	free(text);
	bench_close(&p->bench);
}

static void at_random(void **state)
{
	(void)state;
	const char *wanted = getenv("FITWRIGHT_AMEND_JOBS"), *from = getenv("FITWRIGHT_AMEND_SEED");
	unsigned jobs = wanted ? (unsigned)atoi(wanted) : 12;
	struct play p = {0};

	for (unsigned i = 0; i < jobs; i++) {
		p.seed = (from ? (uint64_t)atoll(from) : 1000) + i;
		if (wanted)
			fprintf(stderr, "\rjob %u  ", i);
		play_job(&p, 40);
	}
	printf("%u jobs: %zu answers amended (%zu later ones kept, %zu lapsed), %zu taken back, %zu "
	       "reopened, %zu "
	       "resumed\n",
	       jobs, p.amended, p.kept, p.lapsed, p.back, p.reopened, p.resumed);
	assert_true(jobs < 10 || (p.amended > 0 && p.kept > 0 && p.lapsed > 0 && p.back > 0));
}

int main(void)
{
	const struct CMUnitTest tests[] = {cmocka_unit_test(at_random)};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
