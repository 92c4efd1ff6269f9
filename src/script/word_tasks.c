/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words that ask for work, a choice or a few words: task, caution, choose, inspect, part, note. */
#include <string.h>

#include "words.h"

enum { TASK, CAUTION, CHOOSE, INSPECT, PART, NOTE };

static const struct fw_word *const words = fw_words_tasks;

static void put_texts(lua_State *L, json_t *question, const char *key, const char *const *texts)
{
	json_t *list = json_array();

	fw_words_put(L, question, key, list);
	for (; *texts; texts++)
		if (json_array_append_new(list, json_string(*texts)) != 0)
			luaL_error(L, "out of memory");
}

/* Options from the call's field, or `otherwise`. */
static void put_options(lua_State *L, json_t *question, const char *const *otherwise)
{
	if (lua_getfield(L, 1, "options") == LUA_TTABLE)
		fw_words_put_texts(L, question, "options", -1);
	else
		put_texts(L, question, "options", otherwise);
	lua_pop(L, 1);
}

/* task, caution: asked, done. */

static int after_done(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	fw_words_answer(L);
	return 0;
}

static int run_task(lua_State *L)
{
	fw_words_check(L, &words[TASK]);
	fw_words_question(L, &words[TASK], 1, FW_ASK_DONE, NULL);
	return fw_words_ask(L, after_done, 0);
}

static int run_caution(lua_State *L)
{
	fw_words_check(L, &words[CAUTION]);
	json_t *question = fw_words_question(L, &words[CAUTION], 1, FW_ASK_DONE, NULL);
	fw_words_put_text(L, question, "caution", fw_words_text(L, 1, "say"));
	fw_words_put_text(L, question, "say", "Read the caution, then go on.");
	return fw_words_ask(L, after_done, 0);
}

/* choose: one of the options, returned as its text. */

static int after_text(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	lua_pushstring(L, fw_words_answer(L)->text);
	return 1;
}

static int run_choose(lua_State *L)
{
	static const char *const none[] = {NULL};

	fw_words_check(L, &words[CHOOSE]);
	json_t *question = fw_words_question(L, &words[CHOOSE], 1, FW_ASK_CHOICE, NULL);
	put_options(L, question, none); /* the field is required */
	return fw_words_ask(L, after_text, 0);
}

/* inspect and part: a choice, then the reason. */

/* Both texts, the choice at index 2. */
static int return_choice(lua_State *L, const char *reason)
{
	lua_pushvalue(L, 2);
	lua_pushstring(L, reason);
	return 2;
}

static int ask_reason(lua_State *L, const struct fw_word *word, const char *item, const char *say,
                      bool optional, lua_KFunction next)
{
	json_t *question = fw_words_question(L, word, 1, FW_ASK_TEXT, item);

	json_object_del(question, "caution"); /* said with the choice a moment ago */
	fw_words_put_text(L, question, "say", say);
	if (optional)
		fw_words_put(L, question, "optional", json_true());
	return fw_words_ask(L, next, 0);
}

static int after_remark(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	return return_choice(L, fw_words_answer(L)->text);
}

static int after_inspect(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	const struct fw_answer *answer = fw_words_answer(L);
	lua_pushstring(L, answer->text);
	if (answer->option == 0)
		return return_choice(L, "");
	const char *say = lua_pushfstring(L, "%s Found %s: what is to be seen, and where?",
	                                  fw_words_text(L, 1, "say"), answer->text);
	return ask_reason(L, &words[INSPECT], "remark", say, false, after_remark);
}

static int run_inspect(lua_State *L)
{
	static const char *const grades[] = {"sound", "worn", "damaged", NULL};

	fw_words_check(L, &words[INSPECT]);
	json_t *question = fw_words_question(L, &words[INSPECT], 1, FW_ASK_CHOICE, NULL);
	put_options(L, question, grades);
	return fw_words_ask(L, after_inspect, 0);
}

static const char *const decisions[] = {"reuse", "renew", "make", "reject", NULL};

static int after_part(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	const char *reason = fw_words_answer(L)->text;
	const char *step = fw_words_text(L, 1, "id");
	const char *part = fw_words_text(L, 1, "part");
	const char *decision = lua_tostring(L, 2);

	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", "part");
	fw_words_put_text(L, ask, "part", part);
	fw_words_put_text(L, ask, "decision", decision);
	fw_words_put_text(L, ask, "reason", reason);
	json_t *value = fw_words_object(L);
	lua_pushfstring(L, *reason ? "%s: %s, %s" : "%s: %s", part, decision, reason);
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	fw_words_find(L, step, -3, -2);
	return return_choice(L, reason);
}

static int after_decision(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	const struct fw_answer *answer = fw_words_answer(L);
	lua_pushstring(L, answer->text);
	const char *say = lua_pushfstring(L, "%s, %s: why? In a few words.",
	                                  fw_words_text(L, 1, "part"), answer->text);
	return ask_reason(L, &words[PART], "reason", say, answer->option == 0, after_part);
}

static int run_part(lua_State *L)
{
	fw_words_check(L, &words[PART]);
	json_t *question = fw_words_question(L, &words[PART], 1, FW_ASK_CHOICE, NULL);
	put_texts(L, question, "options", decisions);
	fw_words_put_text(L, question, "part", fw_words_text(L, 1, "part"));
	if (!fw_words_text(L, 1, "say")) {
		lua_pushfstring(L, "%s: what becomes of it?", fw_words_text(L, 1, "part"));
		fw_words_put_text(L, question, "say", lua_tostring(L, -1));
		lua_pop(L, 1);
	}
	return fw_words_ask(L, after_decision, 0);
}

/* note: words, or none. */

static int run_note(lua_State *L)
{
	fw_words_check(L, &words[NOTE]);
	json_t *question = fw_words_question(L, &words[NOTE], 1, FW_ASK_TEXT, NULL);
	if (!fw_words_flag(L, 1, "required"))
		fw_words_put(L, question, "optional", json_true());
	return fw_words_ask(L, after_text, 0);
}

/* The table. */

#define ID_FIELD                                                                                   \
	{                                                                                              \
		"id", FW_FIELD_ID, true, "name of the step, its own in the procedure"                      \
	}
#define SAY_FIELD                                                                                  \
	{                                                                                              \
		"say", FW_FIELD_TEXT, true, "what to do"                                                   \
	}
#define CAUTION_FIELD                                                                              \
	{                                                                                              \
		"caution", FW_FIELD_TEXT, false, "what can hurt, and how to avoid it"                      \
	}
#define HELP_FIELD                                                                                 \
	{                                                                                              \
		"help", FW_FIELD_TEXT, false, "more, shown when asked for"                                 \
	}
#define END_FIELD                                                                                  \
	{                                                                                              \
		NULL, FW_FIELD_TEXT, false, NULL                                                           \
	}

static const struct fw_field task_fields[] = {ID_FIELD, SAY_FIELD, CAUTION_FIELD, HELP_FIELD,
                                              END_FIELD};

static const struct fw_field caution_fields[] = {
    {"say", FW_FIELD_TEXT, true, "what can hurt, and how to avoid it"},
    {"id", FW_FIELD_ID, false, "name of the step; 'caution' when left out"},
    HELP_FIELD,
    END_FIELD};

static const struct fw_field choose_fields[] = {
    ID_FIELD,      SAY_FIELD,  {"options", FW_FIELD_OPTIONS, true, "what there is to choose from"},
    CAUTION_FIELD, HELP_FIELD, END_FIELD};

static const struct fw_field inspect_fields[] = {
    ID_FIELD,
    SAY_FIELD,
    {"options", FW_FIELD_OPTIONS, false,
     "grades, the good one first; sound, worn, damaged if left out"},
    CAUTION_FIELD,
    HELP_FIELD,
    END_FIELD};

static const struct fw_field part_fields[] = {ID_FIELD,
                                              {"part", FW_FIELD_TEXT, true, "which part"},
                                              {"say", FW_FIELD_TEXT, false, "what to go by"},
                                              CAUTION_FIELD,
                                              HELP_FIELD,
                                              END_FIELD};

static const struct fw_field note_fields[] = {
    ID_FIELD,
    SAY_FIELD,
    {"required", FW_FIELD_FLAG, false, "true when it can't be left empty"},
    HELP_FIELD,
    END_FIELD};

const struct fw_word fw_words_tasks[] = {
    [TASK] = {"task", "Something to do.", run_task, task_fields, NULL, false},
    [CAUTION] = {"caution", "A caution on its own, to be read before going on.", run_caution,
                 caution_fields, "say", false},
    [CHOOSE] = {"choose", "A choice; returns the text chosen.", run_choose, choose_fields, NULL,
                false},
    [INSPECT] = {"inspect", "A look at something; returns the grade and the remark.", run_inspect,
                 inspect_fields, NULL, false},
    [PART] = {"part", "Reuse, renew, make or reject; returns the decision and the reason.",
              run_part, part_fields, NULL, false},
    [NOTE] = {"note", "Words for the record; returns them.", run_note, note_fields, NULL, false},
    [NOTE + 1] = {NULL, NULL, NULL, NULL, NULL, false}};
