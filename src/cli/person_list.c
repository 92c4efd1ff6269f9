/* SPDX-License-Identifier: GPL-3.0-or-later */
/* People and their keys, shown; and cards. */
#include <stdio.h>
#include <stdlib.h>

#include "cli/passphrase.h"
#include "cli/person.h"
#include "cli/unlock.h"
#include "face/glyph.h"

/* The day of "2026-03-05T14:03:11.250Z". */
#define DAY 10

/* What became of the key: a replacement ends one and adds the next in one entry. */
static const char *state_of(const struct fw_people *people, const struct fw_person *person)
{
	if (person->until == 0)
		return "in use";
	for (size_t i = 0; i < people->count; i++)
		if (people->list[i].from == person->until)
			return "replaced";
	return "retired";
}

json_t *fw_person_json(const struct fw_people *people, const struct fw_person *person)
{
	char key[FW_KEY_TEXT], print[FW_FINGERPRINT_TEXT];
	json_t *roles = json_array();

	for (size_t i = 0; i < person->roles; i++)
		json_array_append_new(roles, json_string(person->role[i]));
	return json_pack("{s:s, s:o, s:s, s:s, s:s?, s:b, s:s, s:s, s:I}", "name", person->name,
	                 "roles", roles, "state", state_of(people, person), "since", person->since,
	                 "until", person->ended, "proven", person->proven, "key",
	                 fw_hex_text(key, person->key, FW_KEY), "fingerprint",
	                 fw_key_fingerprint(print, person->key), "entry", (json_int_t)person->from);
}

void fw_person_show(const struct fw_screen *screen, const struct fw_people *people,
                    const struct fw_person *person)
{
	char print[FW_FINGERPRINT_TEXT];
	FILE *out = screen->out;

	fw_style_on(screen, FW_STYLE_STRONG);
	fw_text_print(screen, person->name, -1);
	fw_style_off(screen, FW_STYLE_STRONG);
	for (size_t i = 0; i < person->roles; i++) {
		fputs(i ? ", " : "  ", out);
		fw_text_print(screen, person->role[i], -1);
	}
	fprintf(out, "\n    %s %.*s", person->until ? "from" : "in use since", DAY, person->since);
	if (person->until)
		fprintf(out, " to %.*s, %s", DAY, person->ended, state_of(people, person));
	fprintf(out, "\n    %s\n", fw_key_fingerprint(print, person->key));
	if (!person->proven)
		fputs("    its own signature over this is missing or wrong: don't rely on it\n", out);
}

static int read_people(struct fw_trail *trail, void *people, struct fw_error *err)
{
	return fw_people_read(people, trail, 0, err);
}

static int list_json(const struct fw_people *people)
{
	json_t *array = json_array();

	for (size_t i = 0; i < people->count; i++)
		json_array_append_new(array, fw_person_json(people, &people->list[i]));
	int status = json_array_size(array) == people->count
	                 ? fw_cli_put_json(array)
	                 : fw_cli_fail(FW_EXIT_TROUBLE, "out of memory");
	json_decref(array);
	return status;
}

int fw_person_list(struct fw_cli *cli, const struct fw_person_wanted *wanted)
{
	struct fw_screen screen = fw_cli_screen(cli);
	struct fw_people people = {0};
	int status = fw_cli_with_trail(cli, FW_TRAIL_READ, read_people, &people);

	if (status == FW_EXIT_FINE && wanted->json)
		status = list_json(&people);
	else if (status == FW_EXIT_FINE && people.count == 0)
		puts("Nobody has a key yet: sign-offs are names as typed. 'fitwright person add' changes "
		     "that.");
	else if (status == FW_EXIT_FINE)
		for (size_t i = 0; i < people.count; i++)
			fw_person_show(&screen, &people, &people.list[i]);
	fw_people_free(&people);
	return status;
}

/* --- cards --- */

struct card {
	struct fw_cli *cli;
	const struct fw_person_wanted *wanted;
	char *text;
};

static int unlock(struct fw_secret **out, const struct card *card, const struct fw_person *person,
                  struct fw_error *err)
{
	char buffer[FW_CLI_PATH], path[FW_CLI_PATH];

	if (!card->wanted->passphrase_file) {
		fw_passphrase_warn(card->cli->passphrases);
		return fw_cli_unlock_person(out, card->cli, person, false, NULL, err);
	}
	const char *folder = fw_cli_keys(card->cli, buffer, sizeof buffer, err);
	if (!folder || !fw_key_find(path, sizeof path, folder, person->name, person->key, err))
		return err->code;
	char *passphrase = fw_passphrase_new();
	int code = passphrase ? fw_passphrase_file(passphrase, card->wanted->passphrase_file, err)
	                      : fw_fail(err, FW_ERR_MEMORY, "out of memory");
	fw_passphrase_warn(card->wanted->passphrase_file);
	if (code == FW_OK)
		code = fw_key_unlock(out, path, passphrase, err);
	fw_passphrase_free(passphrase);
	return code;
}

static int make_card(struct fw_trail *trail, void *context, struct fw_error *err)
{
	struct card *card = context;
	struct fw_people people;
	struct fw_secret *secret = NULL;
	int code = fw_people_read(&people, trail, 0, err);

	if (code != FW_OK)
		return code;
	const struct fw_person *person = fw_people_find(&people, card->wanted->name);
	if (!person)
		code = fw_fail(err, FW_ERR_NOT_FOUND,
		               "no key in use is that of %s; 'fitwright person list' shows whose are",
		               card->wanted->name);
	else
		code = unlock(&secret, card, person, err);
	if (person && code == FW_OK)
		code = fw_card_text(&card->text, person->name, secret, err);
	fw_secret_free(secret);
	fw_people_free(&people);
	return code;
}

static int write_text(FILE *out, void *text, struct fw_error *err)
{
	(void)err;
	fputs(text, out); /* a failure shows when the file is closed */
	return FW_OK;
}

int fw_person_card(struct fw_cli *cli, const struct fw_person_wanted *wanted)
{
	struct card card = {.cli = cli, .wanted = wanted};
	struct fw_error err = {0};
	int status = fw_cli_with_trail(cli, FW_TRAIL_READ, make_card, &card);

	if (status == FW_EXIT_FINE &&
	    fw_cli_write(cli, wanted->output, write_text, card.text, &err) != FW_OK)
		status = fw_cli_trouble(&err);
	free(card.text);
	return status;
}
