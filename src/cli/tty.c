/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <sys/select.h>
#include <termios.h>
#include <unistd.h>

#include "cli/passphrase.h"

/* A person may leave by these, or stop the program for a while. */
static const int leaving[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGTSTP};
#define LEAVING (sizeof leaving / sizeof *leaving)

static volatile sig_atomic_t caught;

static void on_signal(int number)
{
	caught = number;
}

int fw_tty_open(struct fw_tty *tty, bool answers_on_stdin, struct fw_error *err)
{
	if (isatty(STDIN_FILENO)) {
		int flags = fcntl(STDIN_FILENO, F_GETFL);
		tty->in = STDIN_FILENO;
		tty->out = flags >= 0 && (flags & O_ACCMODE) == O_RDWR ? STDIN_FILENO : STDERR_FILENO;
		tty->opened = false;
		return FW_OK;
	}
	int file = answers_on_stdin ? -1 : open("/dev/tty", O_RDWR | O_CLOEXEC | O_NOCTTY);
	if (file < 0)
		return fw_fail(err, FW_ERR_NOT_FOUND, "there is no terminal to ask for the passphrase at");
	tty->in = tty->out = file;
	tty->opened = true;
	return FW_OK;
}

void fw_tty_close(struct fw_tty *tty)
{
	if (tty->opened)
		close(tty->in);
	tty->opened = false;
}

void fw_tty_say(const struct fw_tty *tty, const char *text)
{
	size_t left = strlen(text);

	while (left > 0) {
		ssize_t written = write(tty->out, text, left);
		if (written < 0 && errno != EINTR)
			return; /* the person isn't there any more: the read tells */
		if (written > 0) {
			text += written;
			left -= (size_t)written;
		}
	}
}

/* The signals, held back but while it waits: one that comes between a look and the wait isn't lost.
 */
struct hold {
	sigset_t before;
	struct sigaction action[LEAVING];
};

static void hold_signals(struct hold *hold)
{
	struct sigaction action = {.sa_handler = on_signal};
	sigset_t set;

	caught = 0;
	sigemptyset(&set);
	sigemptyset(&action.sa_mask);
	for (size_t i = 0; i < LEAVING; i++)
		sigaddset(&set, leaving[i]);
	sigprocmask(SIG_BLOCK, &set, &hold->before);
	for (size_t i = 0; i < LEAVING; i++) {
		sigaction(leaving[i], NULL, &hold->action[i]);
		if (hold->action[i].sa_handler != SIG_IGN)
			sigaction(leaving[i], &action, NULL);
	}
}

static void give_signals_back(const struct hold *hold)
{
	for (size_t i = 0; i < LEAVING; i++)
		sigaction(leaving[i], &hold->action[i], NULL);
	sigprocmask(SIG_SETMASK, &hold->before, NULL);
}

/* One byte: 1, 0 at the end, -1 when a signal came or the terminal is gone. */
static int next_byte(int file, const sigset_t *waiting, char *out)
{
	for (;;) {
		fd_set set;
		FD_ZERO(&set);
		FD_SET(file, &set);
		if (pselect(file + 1, &set, NULL, NULL, NULL, waiting) < 0) {
			if (errno == EINTR && !caught)
				continue;
			return -1;
		}
		ssize_t got = read(file, out, 1);
		if (got >= 0)
			return (int)got;
		if (errno != EINTR)
			return -1;
	}
}

/* Length of the line, 0 when nothing was typed, -1 when it was left, FW_PASSPHRASE when it is too
 * long. */
static int read_line(const struct fw_tty *tty, const sigset_t *waiting, char *out)
{
	int length = 0;
	char byte;

	for (;;) {
		int got = next_byte(tty->in, waiting, &byte);
		if (got < 0)
			return -1;
		if (got == 0 || byte == '\n' || byte == '\r')
			break;
		if (length < FW_PASSPHRASE)
			out[length++] = byte;
	}
	if (length < FW_PASSPHRASE)
		out[length] = '\0';
	return length;
}

/* Asks once. As read_line(); -2 when the terminal can't be told not to echo. */
static int ask_once(const struct fw_tty *tty, const char *prompt, const sigset_t *waiting,
                    char *out)
{
	struct termios before, quiet;

	if (tcgetattr(tty->in, &before) != 0)
		return -2;
	quiet = before;
	quiet.c_lflag &= ~(tcflag_t)(ECHO | ECHONL);
	quiet.c_lflag |= ICANON | ISIG;
	quiet.c_iflag |= ICRNL;
	if (tcsetattr(tty->in, TCSAFLUSH, &quiet) != 0)
		return -2;
	fw_tty_say(tty, prompt);
	int length = read_line(tty, waiting, out);
	tcsetattr(tty->in, TCSAFLUSH, &before);
	fw_tty_say(tty, "\n");
	return length;
}

int fw_tty_ask(const struct fw_tty *tty, const char *prompt, char *out, struct fw_error *err)
{
	struct hold hold;
	int length, signal;

	do {
		out[0] = '\0';
		hold_signals(&hold);
		length = ask_once(tty, prompt, &hold.before, out);
		signal = (int)caught;
		give_signals_back(&hold);
		if (signal)
			kill(getpid(), signal); /* whoever cares for it does now; a stop ends here */
	} while (signal == SIGTSTP);
	if (length == -2)
		return fw_fail(err, FW_ERR_NOT_FOUND,
		               "the terminal can't hide what is typed; give the passphrase in a file");
	if (length == FW_PASSPHRASE)
		return fw_fail(err, FW_ERR_INPUT, "that is too long for a passphrase: %d bytes at most",
		               FW_PASSPHRASE - 1);
	if (length <= 0)
		return fw_fail(err, FW_ERR_INPUT, "no passphrase was given; nothing is signed");
	return FW_OK;
}
