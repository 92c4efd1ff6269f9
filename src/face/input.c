/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "face/input.h"

#include <errno.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>
#include <sys/select.h>
#include <termios.h>
#include <unistd.h>
#include <wchar.h>

#include <histedit.h>

#include "face/glyph.h"

struct fw_input {
	FILE *in;
	const struct fw_screen *screen;
	const volatile sig_atomic_t *stop;
	EditLine *editor; /* NULL: plain lines */
	locale_t
	    charset; /* characters as UTF-8, for the editor alone; the program's locale stays "C" */
	char prompt[512];
	bool terminal;      /* `in` echoes by itself */
	size_t taken, held; /* of `buffer` */
	char buffer[1024];  /* read ahead; never with the editor */
	char line[FW_INPUT_LONGEST + 1];
};

static bool stopped(const struct fw_input *input)
{
	return input->stop && *input->stop;
}

static struct fw_input *owner(EditLine *editor)
{
	void *input = NULL;
	el_get(editor, EL_CLIENTDATA, &input);
	return input;
}

static char *editor_prompt(EditLine *editor)
{
	return owner(editor)->prompt;
}

/* Waits until `in` can be read. The signals that leave are let in only while it waits: one that
 * comes between looking at the flag and the wait isn't lost. Returns as pselect(). */
static int wait_readable(const struct fw_input *input)
{
	int descriptor = fileno(input->in);
	sigset_t held, before;
	fd_set set;
	int ready = -1;

	if (descriptor < 0 || descriptor >= FD_SETSIZE)
		return 1;
	sigemptyset(&held);
	sigaddset(&held, SIGINT);
	sigaddset(&held, SIGTERM);
	sigaddset(&held, SIGHUP);
	sigprocmask(SIG_BLOCK, &held, &before);
	errno = EINTR;
	if (!stopped(input)) {
		FD_ZERO(&set);
		FD_SET(descriptor, &set);
		ready = pselect(descriptor + 1, &set, NULL, NULL, NULL, &before);
	}
	int reason = errno;
	sigprocmask(SIG_SETMASK, &before, NULL);
	errno = reason;
	return ready;
}

/* One read, of up to `size` bytes. 0 at the end, -1 when it was interrupted to leave or failed.
 * `resumed` (may be NULL) is called when the wait was interrupted for any other reason: stopped and
 * continued. */
static ssize_t read_some(struct fw_input *input, char *out, size_t size,
                         void (*resumed)(struct fw_input *input))
{
	for (;;) {
		ssize_t got = wait_readable(input) < 0 ? -1 : read(fileno(input->in), out, size);
		if (got >= 0)
			return got;
		if (errno != EINTR || stopped(input))
			return -1;
		if (resumed)
			resumed(input);
	}
}

/* After ctrl-Z and fg the shell has given the terminal its own mode, and the line is out of sight.
 */
static void editor_resumed(struct fw_input *input)
{
	el_set(input->editor, EL_PREP_TERM, 0);
	el_set(input->editor, EL_PREP_TERM, 1);
	el_set(input->editor, EL_REFRESH);
}

/* Reads one character for the editor. Its own reader goes on after a signal; this one ends the
 * line. */
static int editor_read(EditLine *editor, wchar_t *out)
{
	struct fw_input *input = owner(editor);
	mbstate_t state = {0};

	for (;;) {
		char byte;
		ssize_t got = read_some(input, &byte, 1, editor_resumed);
		if (got <= 0)
			return (int)got;
		size_t used = mbrtowc(out, &byte, 1, &state);
		if (used == (size_t)-1)
			memset(&state, 0, sizeof state); /* not UTF-8: drop it */
		else if (used != (size_t)-2)
			return 1;
	}
}

/* Starts the editor; without it (no UTF-8 charset in the C library, odd terminal) lines are read
 * plainly. */
static void editor_start(struct fw_input *input)
{
	input->charset = newlocale(LC_CTYPE_MASK, "C.UTF-8", (locale_t)0);
	if (input->charset == (locale_t)0)
		return;

	locale_t before = uselocale(input->charset);
	input->editor = el_init("fitwright", input->in, input->screen->out, stderr);
	if (input->editor) {
		el_set(input->editor, EL_CLIENTDATA, input);
		el_set(input->editor, EL_EDITOR, "emacs");
		el_set(input->editor, EL_SIGNAL, 0);
		el_set(input->editor, EL_PROMPT, editor_prompt);
		el_set(input->editor, EL_GETCFN, editor_read);
	}
	uselocale(before);
}

int fw_input_new(struct fw_input **out, FILE *in, const struct fw_screen *screen,
                 const volatile sig_atomic_t *stop, struct fw_error *err)
{
	struct fw_input *input = calloc(1, sizeof *input);
	if (!input)
		return fw_fail(err, FW_ERR_MEMORY, "out of memory while preparing to read answers");

	input->in = in;
	input->screen = screen;
	input->stop = stop;
	input->terminal = fileno(in) >= 0 && isatty(fileno(in));
	if (input->terminal && fileno(screen->out) >= 0 && isatty(fileno(screen->out)))
		editor_start(input);
	*out = input;
	return FW_OK;
}

void fw_input_free(struct fw_input *input)
{
	if (!input)
		return;
	if (input->editor)
		el_end(input->editor);
	if (input->charset != (locale_t)0)
		freelocale(input->charset);
	free(input);
}

/* Takes over a line of `length` bytes with its end still on. */
static enum fw_input_got accept(struct fw_input *input, const char *text, size_t length)
{
	while (length > 0 && (text[length - 1] == '\n' || text[length - 1] == '\r'))
		length--;
	if (length > FW_INPUT_LONGEST)
		return FW_INPUT_TOO_LONG;
	if (text != input->line)
		memcpy(input->line, text, length);
	input->line[length] = '\0';
	return fw_text_clean(input->line, length) ? FW_INPUT_LINE : FW_INPUT_UNREADABLE;
}

static enum fw_input_got ask_edited(struct fw_input *input)
{
	int length = 0;
	locale_t before = uselocale(input->charset);

	fflush(input->screen->out);
	const char *text = el_gets(input->editor, &length);
	uselocale(before);
	if (text && length > 0)
		return accept(input, text, (size_t)length);
	fputc('\n', input->screen->out);
	return stopped(input) ? FW_INPUT_INTERRUPTED : FW_INPUT_END;
}

/* The next byte of a plain line, or EOF. */
static int next_byte(struct fw_input *input)
{
	if (input->taken == input->held) {
		ssize_t got = read_some(input, input->buffer, sizeof input->buffer, NULL);
		if (got <= 0)
			return EOF;
		input->taken = 0;
		input->held = (size_t)got;
	}
	return (unsigned char)input->buffer[input->taken++];
}

/* A line of any length with bounded memory: what is too much is read and dropped. */
static enum fw_input_got read_plain(struct fw_input *input)
{
	size_t length = 0;
	int c;

	while ((c = next_byte(input)) != EOF && c != '\n') {
		if (length < FW_INPUT_LONGEST)
			input->line[length] = (char)c;
		length++;
	}
	if (stopped(input))
		return FW_INPUT_INTERRUPTED;
	if (c == EOF && length == 0)
		return FW_INPUT_END;
	if (length > FW_INPUT_LONGEST)
		return FW_INPUT_TOO_LONG;
	return accept(input, input->line, length);
}

static enum fw_input_got ask_plain(struct fw_input *input)
{
	FILE *out = input->screen->out;

	fw_text_print(input->screen, input->prompt, -1);
	fflush(out);
	enum fw_input_got got = read_plain(input);
	if (got == FW_INPUT_LINE && !input->terminal) {
		fw_text_print(input->screen, input->line, -1);
		fputc('\n', out);
	} else if (got != FW_INPUT_LINE) {
		fputc('\n', out);
	}
	return got;
}

enum fw_input_got fw_input_ask(struct fw_input *input, const char *prompt, const char **line)
{
	snprintf(input->prompt, sizeof input->prompt, "%s", prompt);
	input->line[0] = '\0';
	enum fw_input_got got = stopped(input)  ? FW_INPUT_INTERRUPTED
	                        : input->editor ? ask_edited(input)
	                                        : ask_plain(input);
	*line = got == FW_INPUT_LINE ? input->line : "";
	return got;
}

void fw_input_forget(struct fw_input *input)
{
	if (!input->terminal)
		return;
	tcflush(fileno(input->in), TCIFLUSH);
	input->taken = input->held = 0;
}
