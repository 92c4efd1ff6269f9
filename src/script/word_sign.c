/* SPDX-License-Identifier: GPL-3.0-or-later */
/* sign and hold: a name under what was done. Nothing is signed over a check that is left open. */
#include "check.h"

enum signing { SIGN, HOLD };

static int after_text(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	lua_pushstring(L, fw_words_answer(L)->text);
	return 1;
}

/* What each of them says when the procedure doesn't. */
struct wording {
	const struct fw_word *word;
	const char *purpose, *say, *meaning;
};

static const struct wording wordings[] = {
    [SIGN] = {fw_words_signs, "sign", "Sign as %s.", "I did this work, and the readings are mine."},
    [HOLD] = {fw_words_holds, "hold",
              "Hold point: the work stops until another person has looked at it and signs as %s.",
              "I looked at this work, which is not mine, and it may go on."},
};

static int ask(lua_State *L, int status, lua_KContext state)
{
	const struct wording *wording = &wordings[state];

	(void)status;
	lua_settop(L, 1);
	const char *meaning = fw_words_text(L, 1, "meaning");
	const char *role = fw_words_text(L, 1, "role");
	json_t *question = fw_words_question(L, wording->word, 1, FW_ASK_SIGN, NULL);
	fw_words_put_text(L, question, "role", role);
	fw_words_put_text(L, question, "meaning", meaning ? meaning : wording->meaning);
	if (fw_words_script(L)->host.rules > 1)
		fw_words_put_text(L, question, "purpose", wording->purpose);
	if (!fw_words_text(L, 1, "say")) {
		lua_pushfstring(L, wording->say, role);
		fw_words_put_text(L, question, "say", lua_tostring(L, -1));
		lua_pop(L, 1);
	}
	return fw_words_ask(L, after_text, 0);
}

static int run(lua_State *L, enum signing signing)
{
	fw_words_check(L, wordings[signing].word);
	if (fw_words_script(L)->host.rules > 1) {
		lua_pushcfunction(L, fw_check_close_all);
		lua_callk(L, 0, 0, (lua_KContext)signing, ask);
	}
	return ask(L, LUA_OK, (lua_KContext)signing);
}

static int run_sign(lua_State *L)
{
	return run(L, SIGN);
}

static int run_hold(lua_State *L)
{
	return run(L, HOLD);
}

/* The tables. */

static const struct fw_field sign_fields[] = {
    {"id", FW_FIELD_ID, true, "name of the step, its own in the procedure"},
    {"role", FW_FIELD_TEXT, true, "as what the person signs"},
    {"meaning", FW_FIELD_TEXT, false, "what the signature says"},
    {"say", FW_FIELD_TEXT, false, "what to do first"},
    {"help", FW_FIELD_TEXT, false, "more, shown when asked for"},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_signs[] = {
    {"sign", "A name under the work; returns it.", run_sign, sign_fields, NULL, false},
    {NULL, NULL, NULL, NULL, NULL, false}};

const struct fw_word fw_words_holds[] = {
    {"hold", "The work stops until another person signs; returns the name.", run_hold, sign_fields,
     NULL, false},
    {NULL, NULL, NULL, NULL, NULL, false}};
