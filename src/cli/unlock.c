/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/unlock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/passphrase.h"
#include "face/wrap.h"

/* How often a passphrase may be mistyped. */
#define TRIES 3

/* Room for what is said about a signature at the terminal. */
#define ABOUT 2048

const char *fw_cli_keys(const struct fw_cli *cli, char *buffer, size_t size, struct fw_error *err)
{
	return cli->keys ? cli->keys : fw_keys_folder(buffer, size, err);
}

static int unlock_by_file(struct fw_secret **out, const struct fw_cli *cli, const char *path,
                          const struct fw_person *person, struct fw_error *err)
{
	unsigned line = 0;
	char *passphrase = fw_passphrase_new();
	int code = passphrase ? fw_passphrase_of(passphrase, cli->passphrases, person->name, &line, err)
	                      : fw_fail(err, FW_ERR_MEMORY, "out of memory");

	if (code == FW_OK) {
		code = fw_key_unlock(out, path, passphrase, err);
		if (code == FW_ERR_INPUT)
			fw_error_prefix(err, "%s:%u: ", cli->passphrases, line);
	}
	fw_passphrase_free(passphrase);
	return code;
}

/* A line of what is shown, with nothing in it that could steer the terminal. */
static void put_line(char *out, size_t size, const char *what, const char *text)
{
	struct fw_error line = {0};
	size_t used = strlen(out);

	if (!text)
		return;
	fw_fail(&line, 0, "%s", text); /* one line, fit to be shown */
	snprintf(out + used, size - used, "%s%s\n", what, line.text);
}

/* The same for a text of several lines, as wide as the terminal is. */
static void put_lines(char *out, size_t size, const struct fw_cli *cli, const char *what,
                      const char *text)
{
	struct fw_screen screen = fw_cli_screen(cli);
	struct fw_error line = {0};
	char *wrapped = NULL;
	size_t length = 0, used = strlen(out);
	FILE *file = open_memstream(&wrapped, &length);

	fw_fail(&line, 0, "%s", text);
	if (file) {
		screen.out = file;
		fw_wrap(&screen, line.text, (int)strlen(what), FW_STYLE_PLAIN);
		fclose(file);
	}
	if (wrapped && length > strlen(what)) /* in the place of the first line's blanks */
		snprintf(out + used, size - used, "%s%s", what, wrapped + strlen(what));
	else
		put_line(out, size, what, text);
	free(wrapped);
}

static int ask(struct fw_secret **out, const struct fw_tty *tty, const char *path,
               const struct fw_person *person, char *passphrase, struct fw_error *err)
{
	char prompt[FW_ERROR_TEXT] = "";
	int code = FW_ERR_INPUT;

	put_line(prompt, sizeof prompt - 2, "Passphrase of ", person->name);
	if (prompt[0])
		memcpy(prompt + strlen(prompt) - 1, ": ", 3);
	for (int tries = TRIES; tries > 0; tries--) {
		code = fw_tty_ask(tty, prompt, passphrase, err);
		if (code != FW_OK)
			return code;
		code = fw_key_unlock(out, path, passphrase, err);
		if (code != FW_ERR_INPUT)
			return code;
		fw_tty_say(tty, tries > 1 ? "That doesn't fit; again (Enter alone leaves it).\n" : "");
		if (tries > 1)
			fw_error_clear(err);
	}
	return fw_fail(err, code, "the passphrase of %s didn't fit %d times; nothing is recorded",
	               person->name, TRIES);
}

static int unlock_by_hand(struct fw_secret **out, const char *path, const struct fw_person *person,
                          bool answers_on_stdin, const char *about, struct fw_error *err)
{
	struct fw_tty tty;
	int code = fw_tty_open(&tty, answers_on_stdin, err);

	if (code != FW_OK)
		return fw_fail(err, code,
		               "%s signs with a key, and there is no terminal to ask for the passphrase "
		               "at; name a file of them with --passphrases",
		               person->name);
	char *passphrase = fw_passphrase_new();
	if (!passphrase)
		code = fw_fail(err, FW_ERR_MEMORY, "out of memory");
	fflush(stdout); /* what was asked stands above */
	if (code == FW_OK && about)
		fw_tty_say(&tty, about);
	if (code == FW_OK)
		code = ask(out, &tty, path, person, passphrase, err);
	fw_passphrase_free(passphrase);
	fw_tty_close(&tty);
	return code;
}

int fw_cli_unlock_person(struct fw_secret **out, const struct fw_cli *cli,
                         const struct fw_person *person, bool answers_on_stdin, const char *about,
                         struct fw_error *err)
{
	char buffer[FW_CLI_PATH], path[FW_CLI_PATH];
	const char *folder = fw_cli_keys(cli, buffer, sizeof buffer, err);

	*out = NULL;
	if (!folder || !fw_key_find(path, sizeof path, folder, person->name, person->key, err))
		return err && err->code ? err->code : FW_ERR_NOT_FOUND;
	if (cli->passphrases) {
		struct fw_error none = {0};
		int code = unlock_by_file(out, cli, path, person, &none);
		if (code == FW_OK)
			return FW_OK;
		/* Who isn't in the file may still be there. */
		struct fw_tty tty;
		if (code != FW_ERR_NOT_FOUND || fw_tty_open(&tty, answers_on_stdin, NULL) != FW_OK)
			return fw_fail(err, code, "%s", none.text);
		fw_tty_close(&tty);
	}
	return unlock_by_hand(out, path, person, answers_on_stdin, about, err);
}

/* What is signed, so that nobody signs what they haven't read. */
static int say_what(char out[ABOUT], const struct fw_unlocker *unlocker,
                    const struct fw_person *person, const struct fw_question *question,
                    struct fw_error *err)
{
	uint8_t head[FW_HASH];
	char text[FW_FINGERPRINT_TEXT], where[96];
	int64_t count = 0;
	int code = fw_trail_head(unlocker->trail, unlocker->job, &count, head, err);

	out[0] = '\0';
	if (code != FW_OK)
		return code;
	put_line(out, ABOUT, "Signs:   ", person->name);
	put_line(out, ABOUT, "As:      ", question->role);
	put_lines(out, ABOUT, unlocker->cli, "That:    ", question->meaning);
	if (question->reason)
		put_lines(out, ABOUT, unlocker->cli, "Reason:  ", question->reason);
	snprintf(where, sizeof where, "job %lld, %lld entries, up to %.19s …", (long long)unlocker->job,
	         (long long)count, fw_key_fingerprint(text, head));
	put_line(out, ABOUT, "Over:    ", where);
	return FW_OK;
}

static int unlock(void *context, const struct fw_person *person, const struct fw_question *question,
                  struct fw_secret **out, struct fw_error *err)
{
	const struct fw_unlocker *unlocker = context;
	char about[ABOUT];
	int code = say_what(about, unlocker, person, question, err);

	*out = NULL;
	if (code == FW_OK)
		code = fw_cli_unlock_person(out, unlocker->cli, person, unlocker->answers_on_stdin, about,
		                            err);
	/* No key file, or a broken one: the question is asked anew, and another may sign. */
	return code == FW_ERR_NOT_FOUND || code == FW_ERR_ARGUMENT ? FW_ERR_INPUT : code;
}

struct fw_unlock fw_cli_unlock(struct fw_unlocker *unlocker)
{
	return (struct fw_unlock){.context = unlocker, .unlock = unlock};
}
