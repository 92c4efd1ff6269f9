/* SPDX-License-Identifier: GPL-3.0-or-later */
/* People folded out of the shop's log, and written to it. */
#include <sodium.h>
#include <sys/wait.h>

#include "fitwright/people.h"
#include "shop/secret.h"
#include "trail_place.h"

static struct fw_secret *new_secret(void)
{
	assert_int_equal(fw_secret_ready(NULL), FW_OK);
	struct fw_secret *secret = fw_secret_new();

	assert_non_null(secret);
	randombytes_buf(secret->seed, sizeof secret->seed);
	fw_secret_derive(secret);
	return secret;
}

static const char *const both[] = {"technician", "inspector"};

static struct fw_person_new person_new(const char *name)
{
	return (struct fw_person_new){.name = name, .role = both, .roles = 2, .by = "R. Example"};
}

static void add(struct fw_trail *trail, const char *name, const struct fw_secret *secret)
{
	struct fw_error error = {0};
	const struct fw_person_new person = person_new(name);

	assert_ok(fw_people_add(trail, &person, secret, &error));
}

static struct fw_people people_of(struct fw_trail *trail, int64_t until)
{
	struct fw_error error = {0};
	struct fw_people people;

	assert_ok(fw_people_read(&people, trail, until, &error));
	return people;
}

static void test_nobody_yet(void **state)
{
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_people people = people_of(trail, 0);
	uint8_t head[FW_HASH];
	struct fw_error error = {0};

	assert_int_equal(people.count, 0);
	assert_int_equal(people.entries, 1);
	assert_string_equal(people.shop, fw_trail_shop(trail));
	assert_int_equal(strlen(people.shop), 32);
	assert_false(people.alone);
	assert_ok(fw_trail_head(trail, FW_SHOP, NULL, head, &error));
	assert_memory_equal(people.head, head, FW_HASH);
	assert_null(fw_people_find(&people, "R. Example"));
	assert_null(fw_people_by_key(&people, head));
	fw_people_free(&people);
	assert_code(fw_people_read(&people, trail, 2, &error), FW_ERR_NOT_FOUND);
	assert_contains(error.text, "1 entries, not 2");
	fw_trail_close(trail);
}

static void test_add_replace_retire(void **state)
{
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_secret *first = new_secret(), *second = new_secret(), *other = new_secret();
	struct fw_error error = {0};

	add(trail, "R. Example", first);
	add(trail, "A. Sample", other);
	struct fw_person_new again = {
	    .name = "r. EXAMPLE", .by = "A. Sample", .reason = "passphrase lost"};
	assert_ok(fw_people_add(trail, &again, second, &error));
	assert_ok(
	    fw_people_retire(trail, "a. sample", "has left the shop", "R. Example", NULL, &error));

	struct fw_people people = people_of(trail, 0);
	assert_int_equal(people.count, 3);
	assert_int_equal(people.entries, 5);
	assert_int_equal(fw_people_in_use(&people), 1);
	const struct fw_person *now = fw_people_find(&people, "R. Example");
	const struct fw_person *old = fw_people_by_key(&people, fw_secret_public(first));
	const struct fw_person *gone = fw_people_by_key(&people, fw_secret_public(other));
	assert_non_null(now);
	assert_memory_equal(now->key, fw_secret_public(second), FW_KEY);
	assert_string_equal(now->name, "R. Example"); /* as it was written first */
	assert_int_equal(now->roles, 2);              /* as they were */
	assert_true(fw_person_has_role(now, "Inspector"));
	assert_false(fw_person_has_role(now, "inspecto"));
	assert_int_equal(now->from, 4);
	assert_int_equal(now->until, 0);
	assert_null(now->ended);
	assert_int_equal(old->until, 4);
	assert_string_equal(old->ended, now->since);
	assert_int_equal(gone->until, 5);
	assert_null(fw_people_find(&people, "A. Sample"));
	for (size_t i = 0; i < people.count; i++)
		assert_true(people.list[i].proven);
	fw_people_free(&people);

	/* As it was before. */
	people = people_of(trail, 3);
	assert_int_equal(people.count, 2);
	assert_int_equal(people.entries, 3);
	assert_memory_equal(fw_people_find(&people, "R. Example")->key, fw_secret_public(first),
	                    FW_KEY);
	assert_non_null(fw_people_find(&people, "A. Sample"));
	fw_people_free(&people);

	/* The chain holds, and the file may be read by who can't write it. */
	assert_int_equal(count_flaws(trail, FW_SHOP), 0);
	fw_trail_close(trail);
	trail = open_trail(*state, FW_TRAIL_READ);
	people = people_of(trail, 0);
	assert_int_equal(people.count, 3);
	fw_people_free(&people);
	struct fw_person_new late = person_new("C. Late");
	assert_code(fw_people_add(trail, &late, other, &error), FW_ERR_STATE);
	fw_trail_close(trail);
	fw_secret_free(first);
	fw_secret_free(second);
	fw_secret_free(other);
}

static void test_refused(void **state)
{
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_secret *first = new_secret(), *second = new_secret();
	struct fw_error error = {0};
	const char *comma[] = {"a, b"}, *twice[] = {"a", "A"};
	struct fw_person_new person = person_new("r. example");

	add(trail, "R. Example", first);
	assert_code(fw_people_add(trail, &person, second, &error), FW_ERR_STATE); /* the name */
	assert_contains(error.text, "R. Example has a key already");
	person = person_new("A. Sample");
	assert_code(fw_people_add(trail, &person, first, &error), FW_ERR_STATE); /* the key */
	assert_contains(error.text, "is or was that of R. Example");
	person.reason = "lost";
	assert_code(fw_people_add(trail, &person, second, &error), FW_ERR_STATE); /* not there */
	assert_code(fw_people_retire(trail, "A. Sample", "left", "me", NULL, &error), FW_ERR_STATE);
	person = person_new("A. Sample");
	person.roles = 0;
	assert_code(fw_people_add(trail, &person, second, &error), FW_ERR_ARGUMENT);
	person.roles = 1;
	person.role = comma;
	assert_code(fw_people_add(trail, &person, second, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "comma");
	person.roles = 2;
	person.role = twice;
	assert_code(fw_people_add(trail, &person, second, &error), FW_ERR_ARGUMENT);
	person = person_new("A.\nSample");
	assert_code(fw_people_add(trail, &person, second, &error), FW_ERR_ARGUMENT);
	person = person_new("A. Sample");
	person.by = "";
	assert_code(fw_people_add(trail, &person, second, &error), FW_ERR_ARGUMENT);
	person = person_new("A. Sample");
	person.at = "2026-03-05";
	assert_int_not_equal(fw_people_add(trail, &person, second, &error), FW_OK);
	person.at = "2020-01-01T00:00:00.000Z"; /* before the log's last entry */
	assert_code(fw_people_add(trail, &person, second, &error), FW_ERR_STATE);
	assert_code(fw_people_retire(trail, "R. Example", "", "me", NULL, &error), FW_ERR_ARGUMENT);

	struct fw_people people = people_of(trail, 0);
	assert_int_equal(people.count, 1);
	assert_int_equal(people.entries, 2);
	fw_people_free(&people);

	/* A key that was retired doesn't come back, its person may. */
	assert_ok(fw_people_retire(trail, "R. Example", "left", "me", NULL, &error));
	person = person_new("R. Example");
	assert_code(fw_people_add(trail, &person, first, &error), FW_ERR_STATE);
	assert_ok(fw_people_add(trail, &person, second, &error));
	fw_trail_close(trail);
	fw_secret_free(first);
	fw_secret_free(second);
}

static void test_alone(void **state)
{
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);
	struct fw_error error = {0};
	static const bool said[] = {true, true, false, false, true};
	static const int64_t entries[] = {2, 2, 3, 3, 4}; /* said again, it is said already */

	for (size_t i = 0; i < 5; i++) {
		assert_ok(fw_people_alone(trail, said[i], "R. Example", NULL, &error));
		struct fw_people people = people_of(trail, 0);
		assert_int_equal(people.alone, said[i]);
		assert_int_equal(people.entries, entries[i]);
		fw_people_free(&people);
	}
	assert_code(fw_people_alone(trail, false, "", NULL, &error), FW_ERR_ARGUMENT);
	fw_trail_close(trail);
}

/* Appends what no program of ours writes; the chain holds nonetheless. */
static void append(struct fw_trail *trail, const char *kind, const char *value)
{
	struct fw_error error = {0};
	struct fw_entry entry = {
	    .kind = kind, .at = "2099-01-01T00:00:00.000Z", .who = "a forger", .value = value};
	int64_t seq;

	assert_ok(fw_trail_head(trail, FW_SHOP, &seq, NULL, &error));
	assert_ok(fw_trail_append(trail, FW_SHOP, seq, &entry, 1, NULL, &error));
}

#define KEY_A          "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"
#define KEY_B          "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c"
#define FOR(name, key) "{\"name\":\"" name "\",\"roles\":[\"a\"],\"key\":\"" key "\""

static void test_hostile_logs(void **state)
{
	static const struct {
		const char *kind, *value, *says;
	} tests[] = {
	    {"person", NULL, "not a JSON object"},
	    {"person", "[]", "not a JSON object"},
	    {"person", "{}", "the name is empty"},
	    {"person", "{\"name\":5}", "the name is empty"},
	    {"person", "{\"name\":\"a\\u001b[2J\"}", "can't be seen"},
	    {"person", "{\"name\":\"X\",\"name\":\"Y\"}", "not a JSON object"},
	    {"person", "{\"name\":\"X\",\"key\":\"00\"}", "'key' is not 64 hex digits"},
	    {"person", "{\"name\":\"X\",\"key\":\"" KEY_B "\"}", "'roles'"},
	    {"person", "{\"name\":\"X\",\"key\":\"" KEY_B "\",\"roles\":[]}", "'roles'"},
	    {"person", "{\"name\":\"X\",\"key\":\"" KEY_B "\",\"roles\":[\"a\",7]}", "a role is empty"},
	    {"person", "{\"name\":\"X\",\"key\":\"" KEY_B "\",\"roles\":[1,2,3,4,5,6,7,8,9]}",
	     "'roles'"},
	    {"person", FOR("X", KEY_A) "}", "its key is that of entry 2"},
	    {"person", FOR("R. EXAMPLE", KEY_B) "}", "has a key already"},
	    {"person", FOR("X", KEY_B) ",\"replaces\":\"" KEY_A "\"}", "the key it replaces"},
	    {"person", FOR("R. Example", KEY_B) ",\"replaces\":\"" KEY_B "\"}", "the key it replaces"},
	    {"person", FOR("R. Example", KEY_B) ",\"replaces\":null}", "the key it replaces"},
	    {"retire", "{\"name\":\"X\",\"key\":\"" KEY_A "\"}", "not a key in use"},
	    {"retire", "{\"name\":\"R. Example\",\"key\":\"" KEY_B "\"}", "not a key in use"},
	    {"alone", "{}", "neither true nor false"},
	    {"alone", "{\"alone\":1}", "neither true nor false"},
	};
	struct place *place = *state;

	for (size_t i = 0; i < sizeof tests / sizeof *tests; i++) {
		struct fw_error error = {0};
		struct fw_people people;
		struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);

		append(trail, "person", FOR("R. Example", KEY_A) "}");
		append(trail, tests[i].kind, tests[i].value);
		assert_code(fw_people_read(&people, trail, 0, &error), FW_ERR_TRAIL);
		assert_contains(error.text, "entry 3 of the shop's log");
		assert_contains(error.text, tests[i].says);
		assert_null(people.list);
		people = people_of(trail, 2); /* up to there it can be read */
		assert_int_equal(people.count, 1);
		assert_false(people.list[0].proven); /* nobody signed it */
		fw_people_free(&people);
		fw_trail_close(trail);
		make_gone(place->file);
	}
}

struct copied {
	char *value, *at;
};

static int copy_person(void *context, const struct fw_entry *entry)
{
	struct copied *copied = context;

	if (strcmp(entry->kind, "person") == 0) {
		copied->value = strdup(entry->value);
		copied->at = strdup(entry->at);
	}
	return 0;
}

/* The entry of a person, taken over to the trail of another shop, to another place, or with another
 * role. */
static void test_stolen_entry(void **state)
{
	struct place *place = *state, other = *place;
	struct fw_secret *secret = new_secret();
	struct fw_error error = {0};
	struct copied copied = {NULL, NULL};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE), *second;

	make_name(other.file, place->folder, "other.db");
	add(trail, "R. Example", secret);
	assert_ok(fw_trail_walk(trail, FW_SHOP, copy_person, &copied, &error));
	for (int changed = 0; changed < 2; changed++) {
		struct fw_entry entry = {
		    .kind = "person", .at = copied.at, .who = "x", .value = copied.value};
		struct fw_people people;
		second = open_trail(&other, FW_TRAIL_CREATE);
		/* In the same shop the signature would fit; here the identity and the head are others. */
		if (changed)
			memcpy(strstr(copied.value, "inspector"), "inspectOr", 9);
		assert_ok(fw_trail_append(second, FW_SHOP, 1, &entry, 1, NULL, &error));
		people = people_of(second, 0);
		assert_int_equal(people.count, 1);
		assert_false(people.list[0].proven);
		fw_people_free(&people);
		fw_trail_close(second);
		make_gone(other.file);
	}
	free(copied.value);
	free(copied.at);
	fw_trail_close(trail);
	fw_secret_free(secret);
}

/* The same entry again in a copy of the same shop, with one thing changed: the file of a forger who
 * fits the chain. */
static void test_changed_entry(void **state)
{
	struct place *place = *state, other = *place;
	static const struct {
		const char *from, *to;
	} changes[] = {{"", ""},
	               {"R. Example", "R. Exemple"},
	               {"\"technician\",\"inspector\"", "\"technician\""},
	               {"\"technician\",\"inspector\"", "\"inspector\",\"technician\""},
	               {"\"count\":1", "\"count\":2"},
	               {"\"count\":1", "\"count\":1.0"},
	               {"\"head\":", "\"haed\":"},
	               {"\"signature\":", "\"reason\":\"x\",\"signature\":"},
	               {"\"signature\":", "\"signatura\":"}};
	struct fw_secret *secret = new_secret();
	struct fw_error error = {0};
	struct copied copied = {NULL, NULL};
	struct fw_trail *trail = open_trail(place, FW_TRAIL_CREATE);
	char command[2 * PATH_MAX + 20];

	fw_trail_close(trail);
	make_name(other.file, place->folder, "other.db");
	snprintf(command, sizeof command, "cp '%s' '%s'", place->file, other.file);
	assert_int_equal(system(command), 0);
	trail = open_trail(place, FW_TRAIL_WRITE);
	add(trail, "R. Example", secret);
	assert_ok(fw_trail_walk(trail, FW_SHOP, copy_person, &copied, &error));
	fw_trail_close(trail);
	for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
		char value[4096];
		const char *at = strstr(copied.value, changes[i].from);
		struct fw_entry entry = {.kind = "person", .at = copied.at, .who = "x", .value = value};

		assert_non_null(at);
		snprintf(value, sizeof value, "%.*s%s%s", (int)(at - copied.value), copied.value,
		         changes[i].to, at + strlen(changes[i].from));
		snprintf(command, sizeof command, "cp '%s' '%s.2'", other.file, other.file);
		assert_int_equal(system(command), 0);
		struct place third = other;
		strcat(third.file, ".2");
		trail = open_trail(&third, FW_TRAIL_WRITE);
		assert_ok(fw_trail_append(trail, FW_SHOP, 1, &entry, 1, NULL, &error));
		struct fw_people people = people_of(trail, 0);
		assert_int_equal(people.count, 1);
		if (people.list[0].proven != (i == 0)) /* with nothing changed it fits */
			fail_msg("change %zu: %s", i, value);
		fw_people_free(&people);
		fw_trail_close(trail);
		make_gone(third.file);
	}
	make_gone(other.file);
	free(copied.value);
	free(copied.at);
	fw_secret_free(secret);
}

/* Four programs at once, each adding people: none is lost, each signature is over what stood before
 * it. */
static void test_at_once(void **state)
{
	enum { PROGRAMS = 4, EACH = 5 };
	struct fw_trail *trail = open_trail(*state, FW_TRAIL_CREATE);

	fw_trail_close(trail);
	for (int i = 0; i < PROGRAMS; i++) {
		pid_t child = fork();
		assert_true(child >= 0);
		if (child == 0) {
			struct fw_error error = {0};
			int failed =
			    fw_trail_open(&trail, ((struct place *)*state)->file, FW_TRAIL_WRITE, &error);
			for (int j = 0; j < EACH && !failed; j++) {
				char name[32];
				struct fw_secret *secret = new_secret();
				snprintf(name, sizeof name, "Example %d-%d", i, j);
				const struct fw_person_new person = person_new(name);
				/* Another may be faster again and again; that is said, and tried anew. */
				while ((failed = fw_people_add(trail, &person, secret, &error)) == FW_ERR_BUSY)
					continue;
				fw_secret_free(secret);
			}
			if (failed)
				fprintf(stderr, "%s\n", error.text);
			fw_trail_close(trail);
			_exit(failed ? 1 : 0);
		}
	}
	for (int i = 0; i < PROGRAMS; i++) {
		int status;
		assert_true(wait(&status) > 0);
		assert_int_equal(status, 0);
	}
	trail = open_trail(*state, FW_TRAIL_READ);
	struct fw_people people = people_of(trail, 0);
	assert_int_equal(people.count, PROGRAMS * EACH);
	for (size_t i = 0; i < people.count; i++)
		assert_true(people.list[i].proven);
	assert_int_equal(count_flaws(trail, FW_SHOP), 0);
	fw_people_free(&people);
	fw_trail_close(trail);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(test_nobody_yet),    TEST(test_add_replace_retire),
	    TEST(test_refused),       TEST(test_alone),
	    TEST(test_hostile_logs),  TEST(test_stolen_entry),
	    TEST(test_changed_entry), TEST(test_at_once),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
