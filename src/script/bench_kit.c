/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench_kit.h"

#include <math.h>
#include <string.h>

#include "json.h"
#include "stack.h"

struct fw_bench_kit *fw_bench_kit_new(lua_State *L, const struct fw_figure_kit *kit)
{
	size_t room = kit->count + FW_BENCH_SIZES;
	struct fw_bench_kit *out = lua_newuserdatauv(L, sizeof *out + room * sizeof out->shim[0], 0);

	out->unit = kit->unit;
	out->count = kit->count;
	out->room = room < FW_KIT_SIZES ? room : FW_KIT_SIZES;
	memcpy(out->shim, kit->shim, kit->count * sizeof kit->shim[0]);
	return out;
}

/* False when there is no room. One that is there already counts once more. */
static bool add_piece(struct fw_bench_kit *kit, double thickness)
{
	for (size_t i = 0; i < kit->count; i++)
		if (fabs(kit->shim[i].thickness - thickness) < 1e-9) {
			kit->shim[i].count++;
			return true;
		}
	if (kit->count == kit->room)
		return false;
	kit->shim[kit->count] = kit->shim[0]; /* same make: same error and crush */
	kit->shim[kit->count].thickness = thickness;
	kit->shim[kit->count].count = 1;
	kit->count++;
	return true;
}

int fw_bench_kit_ask(lua_State *L, const struct fw_word *word, int args,
                     const struct fw_bench_kit *kit, const char *why, lua_KFunction next)
{
	json_t *question = fw_words_question(L, word, args, FW_ASK_QUANTITY, "another piece");
	struct fw_quantity low = fw_quantity_of(1e-6, kit->unit);
	struct fw_quantity high = fw_quantity_of(0.05, kit->unit);

	json_object_del(question, "caution");
	lua_pushfstring(
	    L, "Nothing at hand serves: %s. Get or make one, mike it, and enter its thickness.", why);
	fw_words_put_text(L, question, "say", lua_tostring(L, -1));
	lua_pop(L, 1);
	fw_words_put_text(L, question, "unit", kit->unit->symbol);
	fw_words_put(L, question, "low", fw_json_quantity(&low));
	fw_words_put(L, question, "high", fw_json_quantity(&high));
	return fw_words_ask(L, next, 0);
}

void fw_bench_kit_take(lua_State *L, struct fw_bench_kit *kit)
{
	double thickness = fw_words_answer(L)->quantity.value;

	if (!(thickness > 0))
		return; /* no piece: the kit still doesn't serve, so the question comes up again */
	if (!add_piece(kit, thickness))
		luaL_error(L, "more than %d sizes were added at the bench", FW_BENCH_SIZES);
}
