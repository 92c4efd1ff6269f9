/* SPDX-License-Identifier: GPL-3.0-or-later */
/* grid: one short answer for each row and column, such as where a noise is heard. */
#include <string.h>

#include "words.h"

#define CELLS_MOST 400

static int ask_cell(lua_State *L, lua_Integer cell);

/* Stack of the running word: 1 the call's table, 2 rows, 3 columns, 4 options, 5 the outcome. */
enum { ARGS = 1, ROWS, COLUMNS, OPTIONS, OUTCOME };

static const char *text_at(lua_State *L, int table, lua_Integer i)
{
	lua_rawgeti(L, table, i);
	const char *text = lua_tostring(L, -1);
	lua_pop(L, 1); /* the table still holds it */
	return text;
}

static int after_cell(lua_State *L, int status, lua_KContext cell)
{
	(void)status;
	lua_Integer columns = (lua_Integer)lua_rawlen(L, COLUMNS);
	const char *row = text_at(L, ROWS, cell / columns + 1);
	const char *column = text_at(L, COLUMNS, cell % columns + 1);

	lua_settop(L, OUTCOME);
	lua_getfield(L, OUTCOME, row);
	lua_pushstring(L, fw_words_answer(L)->text);
	lua_setfield(L, -2, column);
	lua_pop(L, 1);
	return ask_cell(L, cell + 1);
}

static int ask_cell(lua_State *L, lua_Integer cell)
{
	lua_Integer columns = (lua_Integer)lua_rawlen(L, COLUMNS);
	lua_Integer cells = (lua_Integer)lua_rawlen(L, ROWS) * columns;

	if (cell == cells)
		return 1; /* the outcome is on top */
	const char *row = text_at(L, ROWS, cell / columns + 1);
	const char *column = text_at(L, COLUMNS, cell % columns + 1);
	const char *item = lua_pushfstring(L, "%s, %s", row, column);
	json_t *question = fw_words_question(L, fw_words_grid, ARGS, FW_ASK_CHOICE, item);
	if (cell > 0)
		json_object_del(question, "caution"); /* said at the first cell */
	fw_words_put_text(L, question, "row", row);
	fw_words_put_text(L, question, "column", column);
	fw_words_put_texts(L, question, "options", OPTIONS);
	return fw_words_ask(L, after_cell, (lua_KContext)cell);
}

static void push_default_options(lua_State *L)
{
	static const char *const marks[] = {"none", "slight", "marked"};

	lua_createtable(L, 3, 0);
	for (int i = 0; i < 3; i++) {
		lua_pushstring(L, marks[i]);
		lua_rawseti(L, -2, i + 1);
	}
}

static int run_grid(lua_State *L)
{
	fw_words_check(L, fw_words_grid);
	lua_getfield(L, ARGS, "rows");
	lua_getfield(L, ARGS, "columns");
	if (lua_getfield(L, ARGS, "options") == LUA_TNIL) {
		lua_pop(L, 1);
		push_default_options(L);
	}
	if (lua_rawlen(L, ROWS) * lua_rawlen(L, COLUMNS) > CELLS_MOST)
		return fw_words_error(L, "grid", ARGS, "has more than %d cells", CELLS_MOST);
	lua_newtable(L);
	for (lua_Integer i = 1; i <= (lua_Integer)lua_rawlen(L, ROWS); i++) {
		lua_newtable(L);
		lua_setfield(L, OUTCOME, text_at(L, ROWS, i));
	}
	return ask_cell(L, 0);
}

static const struct fw_field fields[] = {
    {"id", FW_FIELD_ID, true, "name of the step, its own in the procedure"},
    {"say", FW_FIELD_TEXT, true, "what to find out"},
    {"rows", FW_FIELD_TEXTS, true, "the rows, such as the gears"},
    {"columns", FW_FIELD_TEXTS, true, "the columns, such as the states of load"},
    {"options", FW_FIELD_OPTIONS, false,
     "the marks, the harmless one first; none, slight, marked if left out"},
    {"caution", FW_FIELD_TEXT, false, "what can hurt, and how to avoid it"},
    {"help", FW_FIELD_TEXT, false, "more, shown when asked for"},
    {NULL, FW_FIELD_TEXT, false, NULL}};

const struct fw_word fw_words_grid[] = {
    {"grid", "A mark for each row and column; returns marks[row][column].", run_grid, fields, NULL,
     false},
    {NULL, NULL, NULL, NULL, NULL, false}};
