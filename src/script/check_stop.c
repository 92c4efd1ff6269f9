/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A check that isn't within its limits: the work is corrected, or the value conceded by somebody
 * who may (ISO 9000:2015, 3.12.5, concession: from memory). */
#include <string.h>

#include "check.h"
#include "json.h"

static const struct fw_word *const words = fw_words_checks;

#define AGAIN   "correct and measure again"
#define CONCEDE "concession"

/* Pushes "outside its limits, 0.08 mm to 0.30 mm, aim 0.18 mm". */
static void push_where(lua_State *L, const struct fw_check *check)
{
	lua_pushstring(L, check->verdict.verdict == FW_OUTSIDE
	                      ? "outside its limits, "
	                      : "doubtful, too near a limit for its uncertainty: ");
	lua_getfield(L, 1, "limits");
	fw_figure_push_text(L, -1);
	lua_remove(L, -2);
	lua_concat(L, 2);
}

/* Pushes what is asked: the value, its limits, and the ways on. */
static void push_say(lua_State *L, const struct fw_check *check)
{
	fw_check_push_value(L, check);
	push_where(L, check);
	lua_pushfstring(
	    L, "%s is %s. %s%s", lua_tostring(L, -2), lua_tostring(L, -1),
	    check->late ? "This check is still open, and nothing is signed over an open check. " : "",
	    check->late && !fw_check_can_measure(L)
	        ? "Concede it; or correct a wrong reading with /amend; or take answers back with /back "
	          "to "
	          "where the work is corrected and measured again."
	        : "Correct the work and measure again, or have the value conceded. If a reading was "
	          "entered wrongly, correct it with /amend.");
	lua_replace(L, -3);
	lua_pop(L, 1);
}

/* The pending question, made of the call, with `say` from the top of the stack (popped). */
static json_t *make_question(lua_State *L, enum fw_ask ask, const char *item)
{
	json_t *question = fw_words_question(L, words, 1, ask, item);

	fw_words_put_text(L, question, "say", lua_tostring(L, -2));
	lua_remove(L, -2);
	return question;
}

static int find_concession(lua_State *L, const struct fw_check *check, const char *reason,
                           const char *role, const char *by)
{
	const struct fw_figure_limits *limits = fw_check_limits(L);

	lua_getfield(L, 1, "limits");
	const struct fw_figure_source *source = fw_figure_source(L, -1);
	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", "concession");
	fw_words_put_text(L, ask, "name", fw_check_name(L));
	fw_words_put(L, ask, "value", fw_json_quantity(&check->value));
	fw_words_put(L, ask, "limits", fw_figure_limits_json(limits, source));
	fw_words_put_text(L, ask, "verdict", fw_verdict_name(check->verdict.verdict));
	json_t *value = fw_words_object(L);
	fw_words_put_text(L, value, "reason", reason);
	fw_words_put_text(L, value, "by", by);
	fw_words_put_text(L, value, "role", role);
	fw_check_push_value(L, check);
	push_where(L, check);
	lua_pushfstring(L, "%s, %s; conceded by %s (%s): %s", lua_tostring(L, -2), lua_tostring(L, -1),
	                by, role, reason);
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	lua_pop(L, 3);
	fw_words_find(L, fw_words_text(L, 1, "id"), -2, -1);
	fw_check_settle(L);
	fw_check_push_outcome(L, check, true);
	return 1;
}

static const char *role_of(lua_State *L)
{
	const char *role = fw_words_text(L, 1, "concession");

	return role ? role : "concession";
}

/* The reason is at index 3. */
static int after_signature(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	lua_settop(L, 3);
	lua_pushstring(L, fw_words_answer(L)->text);
	return find_concession(L, lua_touserdata(L, 2), lua_tostring(L, 3), role_of(L),
	                       lua_tostring(L, 4));
}

static int after_reason(lua_State *L, int status, lua_KContext state)
{
	const struct fw_check *check = lua_touserdata(L, 2);

	(void)status;
	(void)state;
	lua_settop(L, 2);
	lua_pushstring(L, fw_words_answer(L)->text);
	lua_pushfstring(
	    L,
	    "Leave to use it as it is: a person with the role %s signs. If nobody here has it, "
	    "take the last answers back with /back.",
	    role_of(L));
	json_t *question = make_question(L, FW_ASK_SIGN, "concession");
	fw_words_put_text(L, question, "role", role_of(L));
	fw_check_push_value(L, check);
	push_where(L, check);
	lua_pushfstring(L, "I concede %s, %s.", lua_tostring(L, -2), lua_tostring(L, -1));
	fw_words_put_text(L, question, "meaning", lua_tostring(L, -1));
	lua_pop(L, 3);
	fw_words_put_text(L, question, "purpose", "concession");
	fw_words_put_text(L, question, "reason", lua_tostring(L, 3));
	return fw_words_ask(L, after_signature, 0);
}

static int ask_reason(lua_State *L)
{
	lua_pushfstring(L, "Why may %s be used as it is, and for how long?", fw_check_name(L));
	make_question(L, FW_ASK_TEXT, "reason");
	return fw_words_ask(L, after_reason, 0);
}

static int after_choice(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	lua_settop(L, 2);
	if (strcmp(fw_words_answer(L)->text, CONCEDE) == 0)
		return ask_reason(L);
	if (fw_check_can_measure(L))
		return fw_check_measure(L);
	fw_check_push_outcome(L, lua_touserdata(L, 2), false); /* the procedure goes round */
	return 1;
}

int fw_check_stop(lua_State *L)
{
	const struct fw_check *check = lua_touserdata(L, 2);

	push_say(L, check);
	json_t *question = make_question(L, FW_ASK_CHOICE, "verdict");
	bool again = fw_check_can_measure(L) || !check->late;
	fw_words_put(L, question, "options",
	             again ? json_pack("[s, s]", AGAIN, CONCEDE) : json_pack("[s]", CONCEDE));
	return fw_words_ask(L, after_choice, 0);
}
