/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A key made or taken, and recorded. */
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "cli/passphrase.h"
#include "cli/person.h"
#include "cli/unlock.h"
#include "face/glyph.h"
#include "face/wrap.h"

/* How often the two may differ. */
#define TRIES 3

struct making {
	struct fw_cli *cli;
	const struct fw_person_wanted *wanted;
	enum fw_trail_mode mode;
	char path[FW_CLI_PATH];  /* of the key file */
	bool ended_alone;        /* the shop said that it is one person, until now */
	struct fw_people people; /* with the new one */
};

/* Before it is typed a second time. */
static bool fit_to_use(const struct fw_tty *tty, const char *passphrase)
{
	struct fw_error fault = {0};

	if (fw_key_check_passphrase(passphrase, &fault) == FW_OK)
		return true;
	fw_tty_say(tty, fault.text);
	fw_tty_say(tty, "\n");
	return false;
}

static int ask_twice(char *out, const char *name, struct fw_error *err)
{
	struct fw_tty tty;
	char prompt[FW_ERROR_TEXT];
	char *again = fw_passphrase_new();
	bool same = false;

	if (!again)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory");
	int code = fw_tty_open(&tty, false, err);
	if (code != FW_OK) {
		fw_passphrase_free(again);
		return code;
	}
	snprintf(prompt, sizeof prompt, "New passphrase of %s, 8 characters or more: ", name);
	for (int tries = TRIES; code == FW_OK && !same && tries > 0; tries--) {
		code = fw_tty_ask(&tty, prompt, out, err);
		if (code == FW_OK && !fit_to_use(&tty, out))
			continue;
		if (code == FW_OK)
			code = fw_tty_ask(&tty, "Again: ", again, err);
		same = code == FW_OK && strcmp(out, again) == 0;
		if (code == FW_OK && !same)
			fw_tty_say(&tty, "The two differ.\n");
	}
	if (code == FW_OK && !same)
		code = fw_fail(err, FW_ERR_INPUT, "no passphrase was typed alike twice; nothing is made");
	fw_tty_close(&tty);
	fw_passphrase_free(again);
	return code;
}

static int ask_once(char *out, const char *path, struct fw_error *err)
{
	struct fw_tty tty;
	char prompt[FW_ERROR_TEXT];
	int code = fw_tty_open(&tty, false, err);

	if (code != FW_OK)
		return code;
	snprintf(prompt, sizeof prompt, "Passphrase of %s: ", path);
	code = fw_tty_ask(&tty, prompt, out, err);
	fw_tty_close(&tty);
	return code;
}

static int get_passphrase(char *out, const struct making *making, struct fw_error *err)
{
	const struct fw_person_wanted *wanted = making->wanted;
	const char *file = wanted->passphrase_file ? wanted->passphrase_file : making->cli->passphrases;
	unsigned line;

	fw_passphrase_warn(file);
	if (wanted->passphrase_file)
		return fw_passphrase_file(out, file, err);
	if (file)
		return fw_passphrase_of(out, file, wanted->name, &line, err);
	int code = wanted->key ? ask_once(out, wanted->key, err) : ask_twice(out, wanted->name, err);
	if (code == FW_ERR_NOT_FOUND)
		return fw_fail(err, code,
		               "there is no terminal to ask for the passphrase at; give it in a file, with "
		               "--passphrase-file");
	return code;
}

static int get_key(struct fw_secret **out, struct making *making, const char *name,
                   struct fw_error *err)
{
	char buffer[FW_CLI_PATH];
	const char *folder = fw_cli_keys(making->cli, buffer, sizeof buffer, err);
	char *passphrase = fw_passphrase_new();
	int code = passphrase ? FW_OK : fw_fail(err, FW_ERR_MEMORY, "out of memory");

	if (code == FW_OK && making->wanted->key)
		snprintf(making->path, sizeof making->path, "%s", making->wanted->key);
	else if (code == FW_OK &&
	         (!folder || !fw_key_path(making->path, sizeof making->path, folder, name, err)))
		code = err->code ? err->code : FW_ERR_ARGUMENT;
	if (code == FW_OK)
		code = get_passphrase(passphrase, making, err);
	if (code == FW_OK)
		code = making->wanted->key ? fw_key_unlock(out, making->path, passphrase, err)
		                           : fw_key_make(out, making->path, name, passphrase, err);
	fw_passphrase_free(passphrase);
	return code;
}

/* What the log would refuse is refused before a passphrase is asked for and a key is made. */
static int look_first(const struct making *making, struct fw_trail *trail, char name[201],
                      struct fw_error *err)
{
	struct fw_people people;
	const struct fw_person_wanted *wanted = making->wanted;
	int code = fw_people_read(&people, trail, 0, err);

	if (code != FW_OK)
		return code;
	const struct fw_person *there = fw_people_find(&people, wanted->name);
	if (there && !wanted->reason)
		code = fw_fail(err, FW_ERR_STATE,
		               "%s has a key already; 'fitwright person replace' gives a new one",
		               there->name);
	else if (!there && wanted->reason)
		code = fw_fail(err, FW_ERR_STATE,
		               "no key in use is that of %s; 'fitwright person list' shows whose are",
		               wanted->name);
	snprintf(name, 201, "%s", there ? there->name : wanted->name);
	fw_people_free(&people);
	return code;
}

/* A new key that no trail knows of is of no use. */
static int drop(const struct making *making, int code)
{
	if (!making->wanted->key)
		unlink(making->path);
	return code;
}

static int record(struct making *making, struct fw_trail *trail, const struct fw_secret *secret,
                  struct fw_error *err)
{
	const struct fw_person_wanted *wanted = making->wanted;
	const struct fw_person_new person = {.name = wanted->name,
	                                     .role = wanted->role,
	                                     .roles = wanted->roles,
	                                     .by = wanted->who,
	                                     .reason = wanted->reason};
	int code = fw_people_add(trail, &person, secret, err);

	/* A failing disk may have recorded it. */
	return code == FW_OK || code == FW_ERR_TRAIL ? code : drop(making, code);
}

/* With a second key the shop isn't one person any more. */
static int end_alone(struct making *making, struct fw_trail *trail, struct fw_error *err)
{
	int code = fw_people_read(&making->people, trail, 0, err);

	making->ended_alone =
	    code == FW_OK && making->people.alone && fw_people_in_use(&making->people) > 1;
	return making->ended_alone ? fw_people_alone(trail, false, making->wanted->who, NULL, err)
	                           : code;
}

/* The trail is opened for writing, or made, only when there is a key to be recorded: who leaves at
 * the passphrase leaves nothing behind. */
static int look(struct making *making, char name[201], struct fw_error *err)
{
	struct fw_trail *trail = NULL;
	int code = fw_cli_open(making->cli, &trail, FW_TRAIL_READ, err);

	if (code == FW_ERR_NOT_FOUND && making->mode == FW_TRAIL_CREATE) {
		fw_error_clear(err);
		snprintf(name, 201, "%s", making->wanted->name);
		return FW_OK;
	}
	if (code == FW_OK)
		code = look_first(making, trail, name, err);
	fw_trail_close(trail);
	return code;
}

static int make(struct making *making, struct fw_error *err)
{
	struct fw_secret *secret = NULL;
	struct fw_trail *trail = NULL;
	char name[201];
	int code = look(making, name, err);

	if (code == FW_OK)
		code = get_key(&secret, making, name, err);
	if (code == FW_OK) {
		code = fw_cli_open(making->cli, &trail, making->mode, err);
		code = code == FW_OK ? record(making, trail, secret, err) : drop(making, code);
	}
	if (code == FW_OK)
		code = end_alone(making, trail, err);
	fw_trail_close(trail);
	fw_secret_free(secret);
	return code;
}

/* Of the roles that the program's own procedures ask for, those that the only person lacks. */
static void say_missing_roles(const struct fw_screen *screen, const struct fw_people *people)
{
	static const char *const asked[] = {"technician", "inspector", "concession"};
	char missing[80] = "", text[FW_ERROR_TEXT];

	for (size_t i = 0; i < people->count; i++) {
		const struct fw_person *person = &people->list[i];
		if (person->until != 0)
			continue;
		for (size_t k = 0; k < sizeof asked / sizeof *asked; k++) {
			size_t used = strlen(missing);
			if (!fw_person_has_role(person, asked[k]))
				snprintf(missing + used, sizeof missing - used, "%s%s", used ? " or " : "",
				         asked[k]);
		}
	}
	if (!*missing)
		return;
	snprintf(text, sizeof text,
	         "Nobody can sign as %s yet. Procedures ask for a technician at the end and an "
	         "inspector at a hold; 'concession' gives leave for what is outside its limits. "
	         "'fitwright person replace NAME --reason TEXT --role …' gives all the roles that are "
	         "named, with a new key.",
	         missing);
	fw_wrap(screen, text, 0, FW_STYLE_PLAIN);
}

void fw_person_say_alone(const struct fw_screen *screen, const struct fw_people *people)
{
	if (fw_people_in_use(people) != 1)
		return;
	fputc('\n', screen->out);
	fw_wrap(screen, "This is the only person with a key, so nothing here is independent yet.", 0,
	        FW_STYLE_PLAIN);
	say_missing_roles(screen, people);
	if (people->alone) {
		fw_wrap(screen,
		        "The shop says that it is one person. Holds can be signed; the record, the report "
		        "and each audit say beside them that they are not independent.",
		        0, FW_STYLE_PLAIN);
	} else {
		fw_wrap(
		    screen,
		    "A hold point wants another person than who did the work. If you work alone, say so. "
		    "Holds can then be signed, and the record, the report and each audit say beside them "
		    "that they are not independent:",
		    0, FW_STYLE_PLAIN);
		fputs("    fitwright shop --alone yes\n", screen->out);
	}
	fw_wrap(screen, "A second person's key makes them independent:", 0, FW_STYLE_PLAIN);
	fputs("    fitwright person add NAME --role inspector\n", screen->out);
}

static void say_made(const struct making *making)
{
	struct fw_screen screen = fw_cli_screen(making->cli);
	const struct fw_person *person = fw_people_find(&making->people, making->wanted->name);
	char text[FW_ERROR_TEXT];

	if (!person)
		return;
	snprintf(text, sizeof text, "%s is recorded as ", person->name);
	for (size_t i = 0; i < person->roles; i++) {
		size_t used = strlen(text);
		snprintf(text + used, sizeof text - used, "%s%s", i > 0 ? ", " : "", person->role[i]);
	}
	size_t used = strlen(text);
	snprintf(text + used, sizeof text - used, "; with %s key",
	         making->wanted->reason ? "a new" : "this");
	fw_wrap(&screen, text, 0, FW_STYLE_PLAIN);
	fprintf(screen.out, "    %s\n", fw_key_fingerprint(text, person->key));
	fputs("in the file\n    ", screen.out);
	fw_text_print(&screen, making->path, -1);
	fputc('\n', screen.out);
	fw_wrap(
	    &screen,
	    "Keep the file and a copy of it elsewhere, and remember the passphrase: nobody can bring "
	    "either back. With both, anybody signs in this name.",
	    0, FW_STYLE_PLAIN);
	if (making->wanted->reason)
		fw_wrap(&screen, "The old key signs nothing more; what it signed stays valid.", 0,
		        FW_STYLE_PLAIN);
	if (making->ended_alone)
		fw_wrap(&screen,
		        "The shop isn't one person any more, and that is recorded too: holds now want "
		        "another person than who did the work.",
		        0, FW_STYLE_PLAIN);
	fw_person_say_alone(&screen, &making->people);
}

static int make_and_say(struct fw_cli *cli, const struct fw_person_wanted *wanted,
                        enum fw_trail_mode mode)
{
	struct making making = {.cli = cli, .wanted = wanted, .mode = mode};
	struct fw_error err = {0};
	int code = make(&making, &err);

	if (code == FW_OK)
		say_made(&making);
	fw_people_free(&making.people);
	return code == FW_OK ? FW_EXIT_FINE : fw_cli_trouble(&err);
}

int fw_person_add(struct fw_cli *cli, const struct fw_person_wanted *wanted)
{
	if (wanted->roles == 0)
		return fw_cli_usage(cli, "what may %s sign as? give it with --role, 'technician' for one",
		                    wanted->name);
	return make_and_say(cli, wanted, FW_TRAIL_CREATE);
}

int fw_person_replace(struct fw_cli *cli, const struct fw_person_wanted *wanted)
{
	if (!wanted->reason)
		return fw_cli_usage(cli, "why? give it with --reason, 'passphrase forgotten' for one");
	return make_and_say(cli, wanted, FW_TRAIL_WRITE);
}

static int retire(struct fw_trail *trail, void *context, struct fw_error *err)
{
	const struct fw_person_wanted *wanted = context;

	return fw_people_retire(trail, wanted->name, wanted->reason, wanted->who, NULL, err);
}

int fw_person_retire(struct fw_cli *cli, const struct fw_person_wanted *wanted)
{
	struct fw_screen screen = fw_cli_screen(cli);
	struct fw_person_wanted copy = *wanted;

	if (!wanted->reason)
		return fw_cli_usage(cli, "why? give it with --reason, 'has left the shop' for one");
	int status = fw_cli_with_trail(cli, FW_TRAIL_WRITE, retire, &copy);
	if (status == FW_EXIT_FINE) {
		fw_text_print(&screen, wanted->name, -1);
		fputs(" signs nothing more here; what was signed stays valid.\n", screen.out);
	}
	return status;
}
