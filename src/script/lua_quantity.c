/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "script/lua_quantity.h"

#include <stddef.h>
#include <string.h>

#include <lauxlib.h>

#include "script/lua_quantity_internal.h"
#include "script/sandbox.h"

#define KIND "quantity"

enum { TEXT = 64, NAME = 48, COST = 20 /* of one operation, in instructions */ };

/* The bytes of a quantity with its used terms: what a value holds. */
static size_t used_size(size_t terms)
{
	return offsetof(struct fw_quantity, terms) + terms * sizeof(struct fw_term);
}

void fw_lua_quantity_push(lua_State *L, const struct fw_quantity *q)
{
	luaL_checkstack(L, 3, NULL);
	size_t size = used_size(q->count);
	void *block = lua_newuserdatauv(L, size, 0);
	memcpy(block, q, size);
	luaL_setmetatable(L, KIND);
}

int fw_lua_quantity_get(lua_State *L, int index, struct fw_quantity *out)
{
	const void *block = luaL_testudata(L, index, KIND);
	if (!block)
		return 0;
	memset(out, 0, sizeof *out);
	memcpy(out, block, lua_rawlen(L, index));
	return 1;
}

const char *fw_lua_kind(lua_State *L, int index)
{
	luaL_checkstack(L, 2, NULL);
	if (luaL_getmetafield(L, index, "__name") == LUA_TSTRING)
		return lua_tostring(L, -1);
	return luaL_typename(L, index);
}

static int raise(lua_State *L, const struct fw_error *error)
{
	return luaL_error(L, "%s", error->text);
}

/* An operand: a quantity, or a number as a plain one. */
static void operand(lua_State *L, int index, const char *verb, struct fw_quantity *out)
{
	memset(out, 0, sizeof *out);
	if (fw_lua_quantity_get(L, index, out))
		return;
	if (lua_type(L, index) != LUA_TNUMBER)
		luaL_error(L, "can't %s a %s and a %s", verb, fw_lua_kind(L, 1), fw_lua_kind(L, 2));
	out->value = lua_tonumber(L, index);
	if (!(out->value - out->value == 0)) /* NaN and infinity */
		luaL_error(L, "can't %s a quantity and a number that isn't finite", verb);
}

static void operands(lua_State *L, const char *verb, struct fw_quantity *a, struct fw_quantity *b)
{
	fw_sandbox_charge(L, COST);
	operand(L, 1, verb, a);
	operand(L, 2, verb, b);
}

static bool is_plain(const struct fw_quantity *q)
{
	static const struct fw_dimension plain = {0, 0, 0, 0, 0};
	return fw_dimension_equal(q->dimension, plain);
}

typedef int operation(struct fw_quantity *, const struct fw_quantity *, const struct fw_quantity *,
                      struct fw_error *);

static int quantity_sum(lua_State *L, const char *verb, operation *combine)
{
	struct fw_quantity a, b, result;
	struct fw_error error = {0};
	operands(L, verb, &a, &b);
	if (combine(&result, &a, &b, &error))
		return raise(L, &error);
	fw_lua_quantity_push(L, &result);
	return 1;
}

static int quantity_add(lua_State *L)
{
	return quantity_sum(L, "add", fw_quantity_add);
}

static int quantity_sub(lua_State *L)
{
	return quantity_sum(L, "subtract", fw_quantity_sub);
}

/* A product or ratio without a dimension is a plain number, unless it is uncertain. */
static int push_product(lua_State *L, const struct fw_quantity *q)
{
	if (is_plain(q) && q->count == 0)
		lua_pushnumber(L, q->value);
	else
		fw_lua_quantity_push(L, q);
	return 1;
}

static int quantity_mul(lua_State *L)
{
	struct fw_quantity a, b, result;
	struct fw_error error = {0};
	int code;

	operands(L, "multiply", &a, &b);
	if (lua_type(L, 1) == LUA_TNUMBER)
		code = fw_quantity_scale(&result, &b, a.value, &error);
	else if (lua_type(L, 2) == LUA_TNUMBER)
		code = fw_quantity_scale(&result, &a, b.value, &error);
	else
		code = fw_quantity_mul(&result, &a, &b, &error);
	return code ? raise(L, &error) : push_product(L, &result);
}

static int quantity_div(lua_State *L)
{
	struct fw_quantity a, b, result;
	struct fw_error error = {0};
	operands(L, "divide", &a, &b);
	if (fw_quantity_div(&result, &a, &b, &error))
		return raise(L, &error);
	return push_product(L, &result);
}

static int quantity_unm(lua_State *L)
{
	struct fw_quantity a, result;
	struct fw_error error = {0};
	fw_sandbox_charge(L, COST);
	operand(L, 1, "negate", &a);
	if (fw_quantity_scale(&result, &a, -1.0, &error))
		return raise(L, &error);
	fw_lua_quantity_push(L, &result);
	return 1;
}

static int order(lua_State *L)
{
	struct fw_quantity a, b;
	struct fw_error error = {0};
	int result = 0;
	operands(L, "compare", &a, &b);
	if (fw_quantity_compare(&result, &a, &b, &error))
		raise(L, &error);
	return result;
}

static int quantity_lt(lua_State *L)
{
	lua_pushboolean(L, order(L) < 0);
	return 1;
}

static int quantity_le(lua_State *L)
{
	lua_pushboolean(L, order(L) <= 0);
	return 1;
}

/* Lua asks only when both are userdata; different dimensions are just not equal. */
static int quantity_eq(lua_State *L)
{
	struct fw_quantity a = {0}, b = {0};
	struct fw_error error = {0};
	bool both = fw_lua_quantity_get(L, 1, &a) && fw_lua_quantity_get(L, 2, &b);
	int order = 1;

	/* A length is no torque; comparing them at all is a slip. */
	if (both && fw_quantity_compare(&order, &a, &b, &error) != FW_OK)
		return raise(L, &error);
	lua_pushboolean(L, both && order == 0);
	return 1;
}

static int quantity_tostring(lua_State *L)
{
	struct fw_quantity q;
	char text[TEXT];
	fw_sandbox_charge(L, COST);
	if (!fw_lua_quantity_get(L, 1, &q))
		return luaL_typeerror(L, 1, KIND);
	lua_pushstring(L, fw_quantity_text(&q, false, text, sizeof text));
	return 1;
}

static void check_joinable(lua_State *L, int index)
{
	if (lua_isstring(L, index))
		return;
	if (!luaL_getmetafield(L, index, "__tostring"))
		luaL_error(L, "can't join a %s and a %s", fw_lua_kind(L, 1), fw_lua_kind(L, 2));
	lua_pop(L, 1);
}

int fw_lua_concat(lua_State *L)
{
	/* Lua 5.4.4 goes on with a stale pointer when its stack moves while '..' runs a function of C,
	 * and any call may move it: so '..' never comes back from one. */
	check_joinable(L, 1);
	check_joinable(L, 2);
	return luaL_error(L, "'..' joins texts only: write tostring() around the %s",
	                  fw_lua_kind(L, lua_isstring(L, 1) ? 2 : 1));
}

/* Methods */

static void check_self(lua_State *L, const char *method, struct fw_quantity *q)
{
	memset(q, 0, sizeof *q);
	fw_sandbox_charge(L, COST);
	if (!fw_lua_quantity_get(L, 1, q))
		luaL_error(L, "write q:%s(), with a colon, after a quantity", method);
}

/* The unit argument of a method, of the quantity's dimension. */
static const struct fw_unit *check_unit(lua_State *L, const char *method,
                                        const struct fw_quantity *q)
{
	char text[TEXT], have[NAME], want[NAME];
	const struct fw_unit *unit = fw_lua_unit_get(L, 2);
	if (!unit)
		luaL_error(L, "q:%s needs a unit: q:%s(mm)", method, method);
	else if (!fw_dimension_equal(q->dimension, unit->dimension))
		luaL_error(L, "%s (%s) can't be given in %s (%s)",
		           fw_quantity_text(q, false, text, sizeof text),
		           fw_dimension_name(q->dimension, have, sizeof have), unit->symbol,
		           fw_dimension_name(unit->dimension, want, sizeof want));
	return unit;
}

/* q:to(unit): the same quantity, written in another unit. */
static int method_to(lua_State *L)
{
	struct fw_quantity q;
	check_self(L, "to", &q);
	q.unit = check_unit(L, "to", &q);
	fw_lua_quantity_push(L, &q);
	return 1;
}

/* q:number(unit): a plain number, counted in that unit; a ratio needs none. */
static int method_number(lua_State *L)
{
	struct fw_quantity q;
	check_self(L, "number", &q);
	if (is_plain(&q) && lua_isnoneornil(L, 2)) {
		lua_pushnumber(L, q.value);
		return 1;
	}
	lua_pushnumber(L, fw_quantity_in(&q, check_unit(L, "number", &q)));
	return 1;
}

/* q:u(): its standard uncertainty, a quantity known outright. */
static int method_u(lua_State *L)
{
	struct fw_quantity q;
	check_self(L, "u", &q);
	q.value = fw_quantity_u(&q);
	q.count = 0;
	if (q.unit && q.unit->offset != 0) /* an uncertainty in °C is a difference: kelvins */
		q.unit = fw_unit_si(q.dimension);
	fw_lua_quantity_push(L, &q);
	return 1;
}

/* q:sqrt(): a length from an area, and the like. */
static int method_sqrt(lua_State *L)
{
	struct fw_quantity q, root;
	struct fw_error error = {0};
	check_self(L, "sqrt", &q);
	if (fw_quantity_sqrt(&root, &q, &error))
		return raise(L, &error);
	return push_product(L, &root);
}

static int quantity_index(lua_State *L)
{
	lua_settop(L, 2);
	lua_pushvalue(L, 2);
	if (lua_rawget(L, lua_upvalueindex(1)) != LUA_TNIL)
		return 1;
	return luaL_error(L, "a quantity has no '%s'; it has to, number, u and sqrt",
	                  lua_type(L, 2) == LUA_TSTRING ? lua_tostring(L, 2) : luaL_typename(L, 2));
}

void fw_lua_quantity_open(lua_State *L)
{
	static const luaL_Reg meta[] = {
	    {"__add", quantity_add},
	    {"__sub", quantity_sub},
	    {"__mul", quantity_mul},
	    {"__div", quantity_div},
	    {"__unm", quantity_unm},
	    {"__lt", quantity_lt},
	    {"__le", quantity_le},
	    {"__eq", quantity_eq},
	    {"__concat", fw_lua_concat},
	    {"__tostring", quantity_tostring},
	    {NULL, NULL},
	};
	static const luaL_Reg methods[] = {{"to", method_to},
	                                   {"number", method_number},
	                                   {"u", method_u},
	                                   {"sqrt", method_sqrt},
	                                   {NULL, NULL}};

	luaL_checkstack(L, 4, NULL);
	luaL_newmetatable(L, KIND);
	luaL_setfuncs(L, meta, 0);
	luaL_newlib(L, methods);
	lua_pushcclosure(L, quantity_index, 1);
	lua_setfield(L, -2, "__index");
	lua_pushboolean(L, 0);
	lua_setfield(L, -2, "__metatable");
	lua_pop(L, 1);
	fw_lua_unit_open(L);
}
