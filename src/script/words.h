/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file words.h
 * What the words of a procedure are made of: the table that describes each word's fields, the check
 * of a call against it, and the way to put a question and to make a finding.
 *
 * In a lua_CFunction everything that needs freeing lives in a Lua value, since any Lua call may
 * raise.
 */
#ifndef FITWRIGHT_SCRIPT_WORDS_H
#define FITWRIGHT_SCRIPT_WORDS_H

#include <stdbool.h>

#include <jansson.h>
#include <lauxlib.h>
#include <lua.h>

#include "fitwright/question.h"
#include "script/files.h"
#include "script/sandbox.h"
#include "script/script.h"

struct fw_script {
	struct fw_sandbox *box;
	lua_State *thread; /* anchored in the state */
	struct fw_script_host host;
	json_t *facts;
	json_t *question;
	const struct fw_answer *answer;      /* while it is being handed over */
	unsigned phase;                      /* from 1; 0 before the first */
	bool running;                        /* `run` has been called: words may ask */
	size_t json;                         /* bytes of JSON made since the last full collection */
	char wanted[FW_FILES_NAME_MOST + 1]; /* module that a require() waits for, or empty */
};

/* Kinds of field. */
enum fw_field_kind {
	FW_FIELD_ID,       /* name of a step: letters, digits, - _ . */
	FW_FIELD_TEXT,     /* a string, not empty, UTF-8 */
	FW_FIELD_TEXTS,    /* a list of strings, at least one */
	FW_FIELD_OPTIONS,  /* the same, fit to be chosen from by word or number */
	FW_FIELD_UNIT,     /* mm, thou, Nm … */
	FW_FIELD_QUANTITY, /* mm(3) */
	FW_FIELD_VALUE,    /* the same, or a function that measures it */
	FW_FIELD_RANGE,    /* { mm(0), mm(3) } */
	FW_FIELD_WHOLE,    /* a whole number from 1 */
	FW_FIELD_NUMBER,   /* a plain number */
	FW_FIELD_FLAG,     /* true or false */
	FW_FIELD_SHARES,   /* { 0.5, 1.0 } */
	FW_FIELD_GAUGE,    /* the name of a typical gauge, or a gauge of the sheet */
	FW_FIELD_LIMITS,
	FW_FIELD_KIT,
	FW_FIELD_JOINT,  /* figures of the sheet */
	FW_FIELD_SOURCE, /* practice "…" */
	FW_FIELD_FUNCTION,
	FW_FIELD_TABLE
};

struct fw_field {
	const char *name;
	enum fw_field_kind kind;
	bool required;
	const char *doc;
};

struct fw_word {
	const char *name;
	const char *doc;
	lua_CFunction run;
	const struct fw_field *fields; /* ends with a NULL name */
	const char *shorthand;         /* field that a lone string stands for; NULL: none */
	bool listed;                   /* numbered entries are allowed beside the fields */
};

/* The table of words, one part a file, each ended by a NULL name. */
extern const struct fw_word fw_words_tasks[], fw_words_signs[], fw_words_holds[], fw_words_measure[],
    fw_words_checks[], fw_words_grid[], fw_words_tighten[], fw_words_fit[],
    fw_words_together[], fw_words_gasket[], fw_words_figures[], fw_words_files[];

/* Defines every word in the environment. Call inside fw_sandbox_protect(). */
void fw_words_open(lua_State *L);

/* The script a Lua call belongs to. */
struct fw_script *fw_words_script(lua_State *L);

/* Defines solve.*: the bench calculators. */
void fw_words_open_solve(lua_State *L);

/* A name of a step. */
bool fw_words_is_id(lua_State *L, int index);

/* A text that a word can take: not empty, no longer than a screen or two, UTF-8 without a zero. */
bool fw_words_is_text(lua_State *L, int index);

/* Gives the userdata on top its methods and a locked metatable, made on first use. */
void fw_words_set_methods(lua_State *L, const char *kind, const luaL_Reg *methods);

/* Whether the key at `key` is one that a table may hold. */
typedef bool fw_words_known(lua_State *L, int key, const void *context);
/* The first key, by its bytes, of the table at `index` that isn't known: "" for one that is no
 * string, NULL for none; borrowed from the table. Lua hands keys out in an order of its own that
 * differs from run to run, and what a message names must not. */
const char *fw_words_unknown_key(lua_State *L, int index, fw_words_known *known,
                                 const void *context);

/* Checks argument 1 of the running call against `word`; raises with word, id and field. A shorthand
 * string becomes the table it stands for. Leaves the stack at just that table. */
void fw_words_check(lua_State *L, const struct fw_word *word);

/* Pushes a copy of the checked table, tables in it copied too (one level), for words that outlive
 * their call: a script may change its own table later. */
void fw_words_keep(lua_State *L);

/* Raises "file:line: word 'id': message". `args` is the index of the call's table, or 0. */
int fw_words_error(lua_State *L, const char *word, int args, const char *format, ...);

/* Fields of the checked table at `args`. A text is borrowed from the table. */
const char *fw_words_text(lua_State *L, int args, const char *field); /* NULL when absent */
lua_Integer fw_words_whole(lua_State *L, int args, const char *field, lua_Integer otherwise);
double fw_words_number(lua_State *L, int args, const char *field, double otherwise);
bool fw_words_flag(lua_State *L, int args, const char *field);
bool fw_words_quantity(lua_State *L, int args, const char *field, struct fw_quantity *out);
/* Two quantities of one dimension in the table at `index`. */
bool fw_words_range(lua_State *L, int index, struct fw_quantity *low, struct fw_quantity *high);

/* Pushes a userdata that owns a JSON object, until it is asked or found or the Lua value goes.
 * Returns the object. */
json_t *fw_words_object(lua_State *L);
/* Puts a value (taken over, NULL means it couldn't be made) under a key; raises when it can't. */
void fw_words_put(lua_State *L, json_t *object, const char *key, json_t *value);
/* The same for a text, NULL puts nothing. */
void fw_words_put_text(lua_State *L, json_t *object, const char *key, const char *text);
/* The same for the list of texts in the table at `list`, which was checked. */
void fw_words_put_texts(lua_State *L, json_t *object, const char *key, int list);

/* Pushes a fresh question of the call at `args`: word, step, phase, say, caution and help are
 * filled in from the call's fields `id`, `say`, `caution`, `help`; `item` NULL: the step as a
 * whole. */
json_t *fw_words_question(lua_State *L, const struct fw_word *word, int args, enum fw_ask ask,
                          const char *item);
/* Puts the question on top of the stack (popped) and yields; `next` runs when the answer is there.
 */
int fw_words_ask(lua_State *L, lua_KFunction next, lua_KContext state);
/* The answer, in `next`. */
const struct fw_answer *fw_words_answer(lua_State *L);

/* Makes the finding of objects at the indices `ask` and `value`; raises when the host refuses. */
void fw_words_find(lua_State *L, const char *step, int ask, int value);

#endif
