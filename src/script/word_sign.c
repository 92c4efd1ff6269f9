/* SPDX-License-Identifier: GPL-3.0-or-later */
/* sign: a name under what was done. */
#include "words.h"

static const struct fw_word *const words = fw_words_signs;

static int after_text(lua_State *L, int status, lua_KContext state)
{
	(void)status;
	(void)state;
	lua_pushstring(L, fw_words_answer(L)->text);
	return 1;
}

static int run_sign(lua_State *L)
{
	fw_words_check(L, words);
	const char *meaning = fw_words_text(L, 1, "meaning");
	const char *role = fw_words_text(L, 1, "role");
	json_t *question = fw_words_question(L, words, 1, FW_ASK_SIGN, NULL);
	fw_words_put_text(L, question, "role", role);
	fw_words_put_text(L, question, "meaning",
	                  meaning ? meaning : "I did this work, and the readings are mine.");
	if (!fw_words_text(L, 1, "say")) {
		lua_pushfstring(L, "Sign as %s.", role);
		fw_words_put_text(L, question, "say", lua_tostring(L, -1));
		lua_pop(L, 1);
	}
	return fw_words_ask(L, after_text, 0);
}

/* The table. */

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
