/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The bench calculators as words: solve.torque { id = "cover", thread = "M8", … } works it out,
 * makes a finding of what went in, what came out and how, and returns the results as a table.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "calc_json.h"
#include "figures.h"
#include "fitwright/calc.h"
#include "lua_quantity.h"
#include "words.h"

#define CALC "fw.calc"

/* Work of one call, and of one value that goes in or comes out, in instructions. Calculators bound
 * what they do themselves: at the most some seconds, which a script may cause but a few times. */
enum {
	CALL_COST = 20000,
	COSTLY_CALL_COST = 1000000,
	VALUE_COST = 200,
	EFFORT_COST = 50, /* of a value read once */
	LINES_MOST = 16,  /* of a calculation shown while a job runs */
	CELLS_MOST = 6    /* of a row so shown */
};

/* What one call owns. */
struct call {
	const struct fw_calculator *calculator;
	struct fw_calc_values *values;
	struct fw_calc_out *out;
};

/* The collector sees a small box only, so what is in it goes as soon as it can. */
static void empty_call(struct call *call)
{
	fw_calc_values_free(call->values);
	fw_calc_free(call->out);
	call->values = NULL;
	call->out = NULL;
}

static int collect_call(lua_State *L)
{
	empty_call(luaL_checkudata(L, 1, CALC));
	return 0;
}

static struct call *push_call(lua_State *L, const struct fw_calculator *calculator)
{
	struct call *call = lua_newuserdatauv(L, sizeof *call, 0);

	*call = (struct call){.calculator = calculator};
	if (luaL_newmetatable(L, CALC)) {
		lua_pushcfunction(L, collect_call);
		lua_setfield(L, -2, "__gc");
	}
	lua_setmetatable(L, -2);
	return call;
}

#define WORD (FW_CALC_NAME + 8)

/* "solve.press_fit". Returns `buffer`, of WORD bytes. */
static const char *word_name(const struct fw_calculator *calculator, char *buffer)
{
	char key[FW_CALC_NAME];

	snprintf(buffer, WORD, "solve.%s", fw_calc_key(calculator->name, key, sizeof key));
	return buffer;
}

static int fail(lua_State *L, const struct fw_calculator *calculator, const char *message)
{
	char word[WORD];

	if (lua_gettop(L) >= 2 && luaL_testudata(L, 2, CALC))
		empty_call(lua_touserdata(L, 2)); /* `message` is never part of it */
	return fw_words_error(L, word_name(calculator, word), 1, "%s", message);
}

/* Giving values. */

static void give_value(lua_State *L, struct call *call, struct fw_calc_values *values,
                       const struct fw_calc_input *input);

/* A quantity, number, text or flag on top of the stack. */
static int give_plain(lua_State *L, struct fw_calc_values *values,
                      const struct fw_calc_input *input, struct fw_error *err)
{
	struct fw_quantity q;

	if (fw_lua_quantity_get(L, -1, &q))
		return fw_calc_set_quantity(values, input->name, &q, err);
	switch (lua_type(L, -1)) {
	case LUA_TNUMBER:
		return fw_calc_set_number(values, input->name, lua_tonumber(L, -1), err);
	case LUA_TBOOLEAN:
		return fw_calc_set_flag(values, input->name, lua_toboolean(L, -1), err);
	case LUA_TSTRING:
		if (!fw_words_is_text(L, -1))
			return fw_fail(err, FW_ERR_INPUT, "%s: a text that isn't empty, UTF-8, is needed",
			               input->name);
		return fw_calc_set_text(values, input->name, lua_tostring(L, -1), err);
	default:
		return fw_fail(err, FW_ERR_ARGUMENT, "%s: a %s can't be used here", input->name,
		               luaL_typename(L, -1));
	}
}

/* '_' and '-' alike: the key as Lua writes it. */
static void push_input(lua_State *L, int table, const struct fw_calc_input *input)
{
	char key[FW_CALC_NAME];
	lua_getfield(L, table, fw_calc_key(input->name, key, sizeof key));
}

/* The keys that a table may hold: of a call, or of a record. */
struct keys {
	const struct fw_calc_input *inputs;
	bool call;
};

static bool is_key(lua_State *L, int key, const void *context)
{
	const struct keys *keys = context;
	char name[FW_CALC_NAME];

	if (lua_type(L, key) != LUA_TSTRING) /* the first field of a record, without its name */
		return !keys->call && lua_isinteger(L, key) && lua_tointeger(L, key) == 1;
	const char *given = lua_tostring(L, key);
	for (const struct fw_calc_input *input = keys->inputs; input->name; input++)
		if (strcmp(fw_calc_key(input->name, name, sizeof name), given) == 0)
			return true;
	return keys->call && (strcmp(given, "id") == 0 || strcmp(given, "limits") == 0);
}

static void check_keys(lua_State *L, const struct call *call, const struct fw_calc_input *inputs,
                       bool of_call)
{
	const struct keys keys = {inputs, of_call};
	const char *name = fw_words_unknown_key(L, -1, is_key, &keys);
	char message[FW_ERROR_TEXT / 2], key[FW_CALC_NAME];

	if (!name)
		return;
	int at = snprintf(message, sizeof message,
	                  "unknown field '%.*s'; there are: ", fw_utf8_fit(name, 60), name);
	for (const struct fw_calc_input *input = inputs; input->name && (size_t)at < sizeof message;
	     input++)
		at += snprintf(message + at, sizeof message - (size_t)at, "%s%s",
		               input == inputs ? "" : ", ", fw_calc_key(input->name, key, sizeof key));
	fail(L, call->calculator, message);
}

static void give_record(lua_State *L, struct call *call, struct fw_calc_values *values,
                        const struct fw_calc_input *input)
{
	struct fw_calc_values *record;
	struct fw_error error = {0};

	if (!lua_istable(L, -1))
		fail(L, call->calculator, "a list of tables is needed where records are");
	if (fw_calc_add_record(&record, values, input->name, &error) != FW_OK)
		fail(L, call->calculator, error.text);
	check_keys(L, call, input->fields, false);
	for (const struct fw_calc_input *field = input->fields; field->name; field++) {
		push_input(L, -1, field);
		if (field == input->fields && lua_rawgeti(L, -2, 1) != LUA_TNIL) {
			if (!lua_isnil(L, -2))
				fail(L, call->calculator, "the first field of a record is given twice");
			lua_remove(L, -2);
		} else if (field == input->fields) {
			lua_pop(L, 1);
		}
		if (!lua_isnil(L, -1))
			give_value(L, call, record, field);
		lua_pop(L, 1);
	}
}

static void give_list(lua_State *L, struct call *call, struct fw_calc_values *values,
                      const struct fw_calc_input *input)
{
	struct fw_error error = {0};
	lua_Unsigned count = lua_rawlen(L, -1);

	if (count == 0 || count > FW_CALC_ITEMS)
		fail(L, call->calculator, "a list is empty or too long");
	fw_sandbox_charge(L, count * VALUE_COST);
	for (lua_Unsigned i = 1; i <= count; i++) {
		lua_rawgeti(L, -1, (lua_Integer)i);
		if (input->kind == FW_CALC_RECORDS)
			give_record(L, call, values, input);
		else if (give_plain(L, values, input, &error) != FW_OK)
			fail(L, call->calculator, error.text);
		lua_pop(L, 1);
	}
}

/* The value on top of the stack for an input. */
static void give_value(lua_State *L, struct call *call, struct fw_calc_values *values,
                       const struct fw_calc_input *input)
{
	struct fw_error error = {0};

	luaL_checkstack(L, 10, NULL);
	if (fw_calc_is_list(input) && lua_istable(L, -1))
		give_list(L, call, values, input);
	else if (input->kind == FW_CALC_RECORDS)
		fail(L, call->calculator, "a list of tables is needed where records are");
	else if (give_plain(L, values, input, &error) != FW_OK)
		fail(L, call->calculator, error.text);
}

static bool has_input(const struct fw_calculator *calculator, const char *name)
{
	for (const struct fw_calc_input *input = calculator->inputs; input->name; input++)
		if (strcmp(input->name, name) == 0)
			return true;
	return false;
}

static void give_limit(lua_State *L, struct call *call, const char *name, double si,
                       const struct fw_unit *unit)
{
	struct fw_quantity q = fw_quantity_of(si, unit);
	struct fw_error error = {0};

	if (!isfinite(si) || !has_input(call->calculator, name)) /* open, or not asked for */
		return;
	if (fw_calc_set_quantity(call->values, name, &q, &error) != FW_OK)
		fail(L, call->calculator, error.text);
}

/* limits = sheet.float stands for its min, max and aim. */
static void give_limits(lua_State *L, struct call *call)
{
	lua_getfield(L, 1, "limits");
	if (!lua_isnil(L, -1) && !has_input(call->calculator, "limits")) {
		const struct fw_figure_limits *limits = fw_figure_get(L, -1, FW_FIGURE_LIMITS);
		if (!limits || !has_input(call->calculator, "min")) {
			fail(L, call->calculator, "'limits' can't be used here");
			return; /* never reached */
		}
		give_limit(L, call, "min", limits->si.min, limits->unit);
		give_limit(L, call, "max", limits->si.max, limits->unit);
		give_limit(L, call, "aim", limits->si.aim, limits->unit);
	}
	lua_pop(L, 1);
}

static void give_all(lua_State *L, struct call *call)
{
	struct fw_error error = {0};

	if (fw_calc_values_new(&call->values, call->calculator->inputs, &error) != FW_OK)
		fail(L, call->calculator, error.text);
	lua_pushvalue(L, 1);
	check_keys(L, call, call->calculator->inputs, true);
	for (const struct fw_calc_input *input = call->calculator->inputs; input->name; input++) {
		push_input(L, -1, input);
		if (!lua_isnil(L, -1))
			give_value(L, call, call->values, input);
		lua_pop(L, 1);
	}
	lua_pop(L, 1);
	give_limits(L, call);
}

/* What came out. */

static void push_result(lua_State *L, const struct fw_calc_result *result)
{
	switch (result->kind) {
	case FW_CALC_IS_QUANTITY:
		fw_lua_quantity_push(L, &result->quantity);
		break;
	case FW_CALC_IS_NUMBER:
		if (result->quantity.count > 0)
			fw_lua_quantity_push(L, &result->quantity);
		else
			lua_pushnumber(L, result->quantity.value);
		break;
	case FW_CALC_IS_TEXT:
		lua_pushstring(L, result->text);
		break;
	case FW_CALC_IS_FLAG:
		lua_pushboolean(L, result->flag);
		break;
	}
}

/* Pushes the table that a result belongs into: that at `results`, or a row of a table in it. */
static void push_home(lua_State *L, int results, const struct fw_calc_result *result,
                      const char *word)
{
	char key[FW_CALC_NAME];

	lua_pushvalue(L, results);
	if (!result->table)
		return;
	luaL_getsubtable(L, -1, fw_calc_key(result->table, key, sizeof key));
	lua_remove(L, -2);
	if (lua_rawgeti(L, -1, (lua_Integer)result->row + 1) == LUA_TNIL) {
		lua_pop(L, 1);
		lua_createtable(L, 0, 4);
		fw_sandbox_guard(L, word);
		lua_pushvalue(L, -1);
		lua_rawseti(L, -3, (lua_Integer)result->row + 1);
	}
	lua_remove(L, -2);
}

static void push_results(lua_State *L, const struct fw_calc_out *out, const char *word)
{
	char key[FW_CALC_NAME];

	lua_createtable(L, 0, 8);
	int results = lua_gettop(L);
	for (size_t i = 0; i < fw_calc_results(out); i++) {
		const struct fw_calc_result *result = fw_calc_result(out, i);
		push_home(L, results, result, word);
		push_result(L, result);
		lua_setfield(L, -2, fw_calc_key(result->name, key, sizeof key));
		lua_pop(L, 1);
	}
	lua_createtable(L, (int)fw_calc_warnings(out), 0);
	for (size_t i = 0; i < fw_calc_warnings(out); i++) {
		lua_pushstring(L, fw_calc_warning_text(out, i));
		lua_rawseti(L, -2, (lua_Integer)i + 1);
	}
	lua_setfield(L, results, "warnings");
	fw_sandbox_guard(L, word); /* a misspelt result is an error, not nil */
}

/* The results of one line: a single one, or a row of a table. Returns the result behind it. */
static size_t add_line(luaL_Buffer *text, const struct fw_calc_out *out, size_t from)
{
	const struct fw_calc_result *first = fw_calc_result(out, from), *result = first;
	const char *before = "\n";
	char value[64];

	do {
		luaL_addstring(text, before);
		luaL_addstring(text, result->label);
		luaL_addstring(text, result->table ? " " : ": ");
		luaL_addstring(text, fw_calc_result_text(result, value, sizeof value));
		before = ", ";
		result = fw_calc_result(out, ++from);
	} while (first->table && result && result->table == first->table && result->row == first->row);
	return from;
}

/* How many results stand in the row that begins at `from`. */
static int cells(const struct fw_calc_out *out, size_t from)
{
	const struct fw_calc_result *first = fw_calc_result(out, from), *result = first;
	int count = 0;

	while (result && result->table == first->table && result->row == first->row) {
		count++;
		result = fw_calc_result(out, ++from);
	}
	return count;
}

/* Single results, or rows. Returns how many there are; beyond `most`, and of rows that are too
 * wide, none is added. */
static int add_lines(luaL_Buffer *text, const struct fw_calc_out *out, bool rows, int most)
{
	int lines = 0;

	for (size_t i = 0; i < fw_calc_results(out);) {
		bool row = fw_calc_result(out, i)->table != NULL;
		if (row != rows)
			i++;
		else if (++lines > most)
			i += row ? (size_t)cells(out, i) : 1;
		else if (row && cells(out, i) > CELLS_MOST) {
			lines = most + 1;
			i += (size_t)cells(out, i);
		} else
			i = add_line(text, out, i);
	}
	return lines;
}

/* "Worked out (torque):", the warnings, and a line for each result; pushed as a string. */
static void push_text(lua_State *L, const struct call *call)
{
	luaL_Buffer text;

	luaL_buffinit(L, &text);
	luaL_addstring(&text, "Worked out (");
	luaL_addstring(&text, call->calculator->name);
	luaL_addstring(&text, "):");
	for (size_t i = 0; i < fw_calc_warnings(call->out) && i < LINES_MOST; i++) {
		luaL_addstring(&text, "\nBeware: ");
		luaL_addstring(&text, fw_calc_warning_text(call->out, i));
		luaL_addstring(&text, ".");
	}
	int lines = add_lines(&text, call->out, false, LINES_MOST);
	int left = lines < LINES_MOST ? LINES_MOST - lines : 0;
	lines += add_lines(&text, call->out, true, left);
	if (lines > LINES_MOST || fw_calc_warnings(call->out) > LINES_MOST)
		luaL_addstring(&text, "\n… and more: the report has all of it, with the working.");
	luaL_pushresult(&text);
}

static void find(lua_State *L, const struct call *call)
{
	json_t *ask = fw_words_object(L);
	fw_words_put_text(L, ask, "find", "worked");
	fw_words_put_text(L, ask, "place", fw_words_text(L, 1, "id"));
	fw_words_put_text(L, ask, "calculator", call->calculator->name);
	fw_words_put(L, ask, "inputs", fw_calc_inputs_json(call->calculator->inputs, call->values));
	json_t *value = fw_words_object(L);
	fw_words_put(L, value, "results", fw_calc_results_json(call->out));
	fw_words_put(L, value, "labels", fw_calc_labels_json(call->out));
	fw_words_put(L, value, "working", fw_calc_working_json(call->out));
	fw_words_put(L, value, "warnings", fw_calc_warnings_json(call->out));
	push_text(L, call);
	fw_words_put_text(L, value, "text", lua_tostring(L, -1));
	lua_pop(L, 1);
	fw_words_find(L, fw_words_text(L, 1, "id"), -2, -1);
	lua_pop(L, 2);
}

static void check_id(lua_State *L, const struct fw_calculator *calculator)
{
	if (lua_gettop(L) != 1 || !lua_istable(L, 1))
		fail(L, calculator, "takes a table of named values, such as { id = \"…\" }");
	lua_getfield(L, 1, "id");
	if (!fw_words_is_id(L, -1))
		fail(L, calculator, "'id' must be a name of letters, digits, '-', '_' and '.', 60 at most");
	lua_pop(L, 1);
}

static int run_solve(lua_State *L)
{
	const struct fw_calculator *calculator =
	    fw_calculator_at((size_t)lua_tointeger(L, lua_upvalueindex(1)));
	struct fw_error error = {0};
	char word[WORD];

	check_id(L, calculator);
	fw_sandbox_charge(L, calculator->costly ? COSTLY_CALL_COST : CALL_COST);
	struct call *call = push_call(L, calculator);
	give_all(L, call);
	fw_sandbox_charge(L, (uint64_t)(fw_calc_effort(calculator, call->values) * EFFORT_COST));
	if (fw_calculate(&call->out, calculator, call->values, &error) != FW_OK)
		return fail(L, calculator, error.text);
	fw_sandbox_charge(L, fw_calc_results(call->out) * VALUE_COST);
	find(L, call);
	push_results(L, call->out, word_name(calculator, word));
	empty_call(call);
	return 1;
}

void fw_words_open_solve(lua_State *L)
{
	const struct fw_calculator *calculator;
	char key[FW_CALC_NAME];

	lua_createtable(L, 0, 32);
	for (size_t i = 0; (calculator = fw_calculator_at(i)) != NULL; i++) {
		lua_pushinteger(L, (lua_Integer)i);
		lua_pushcclosure(L, run_solve, 1);
		lua_setfield(L, -2, fw_calc_key(calculator->name, key, sizeof key));
	}
	fw_sandbox_define_library(L, "solve");
}
