/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file test_evidence_kind.c  Kinds of files by their first bytes, held against file(1). */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "check.h"
#include "job/evidence_kind.h"

/* Frames of 417 and 418 bytes: layer III, version 1, 128 kbit/s, 44.1 kHz; the second padded. */
static const unsigned char mp3_first[] = {0xFF, 0xFB, 0x90, 0x44};
static const unsigned char mp3_second[] = {0xFF, 0xFB, 0x92, 0x44};

struct sample {
	const char *name, *first;
	size_t length;
	const char *kind;  /* ours */
	const char *other; /* what file(1) calls it; NULL: the same */
};

/* The first bytes of such files as their specifications give them (they are named in
 * evidence_kind.c), with enough behind them for file(1) to be sure. */
static const struct sample samples[] = {
    {"photo.jpg", "\xFF\xD8\xFF\xE0\0\x10JFIF\0\1\1\0\0\1\0\1\0\0", 20, "image/jpeg", NULL},
    {"photo.jpg",
     "\xFF\xD8\xFF\xE1\0\x18"
     "Exif\0\0MM\0*\0\0\0\x08\0\0\0\0\0\0",
     26, "image/jpeg", NULL},
    {"a.png", "\x89PNG\r\n\x1A\n\0\0\0\rIHDR\0\0\0\1\0\0\0\1\x08\2\0\0\0\x90wS\xDE", 33,
     "image/png", NULL},
    {"a.gif", "GIF89a\1\0\1\0\x80\0\0\0\0\0\xFF\xFF\xFF,\0\0\0\0\1\0\1\0\0\2\2D\1\0;", 35,
     "image/gif", NULL},
    {"a.gif", "GIF87a\1\0\1\0\x80\0\0\0\0\0\xFF\xFF\xFF,\0\0\0\0\1\0\1\0\0\2\2D\1\0;", 35,
     "image/gif", NULL},
    {"a.webp", "RIFF\x1A\0\0\0WEBPVP8L\x0D\0\0\0/\0\0\0\x10\7\x10\x11\x11\x88\x88\xFE\7\0", 34,
     "image/webp", NULL},
    {"a.tif", "II*\0\x08\0\0\0\0\0\0\0\0\0", 14, "image/tiff", NULL},
    {"a.tif", "MM\0*\0\0\0\x08\0\0\0\0\0\0", 14, "image/tiff", NULL},
    {"a.heic",
     "\0\0\0\x18"
     "ftypheic\0\0\0\0mif1heic\0\0\0\x08meta",
     32, "image/heic", NULL},
    {"a.heif",
     "\0\0\0\x18"
     "ftypmif1\0\0\0\0mif1heic\0\0\0\x08meta",
     32, "image/heif", NULL},
    {"a.pdf", "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n1 0 obj\n", 22, "application/pdf", NULL},
    {"a.wav",
     "RIFF\x24\0\0\0WAVEfmt \x10\0\0\0\1\0\1\0\x44\xAC\0\0\x88\x58\1\0\2\0\x10\0data\0\0\0\0", 44,
     "audio/wav", "audio/x-wav"},
    {"a.flac", "fLaC\x80\0\0\"\x10\0\x10\0\0\0\0\0\0\0\x0A\xC4\x42\xF0\0\0\0\0", 26, "audio/flac",
     NULL},
    {"a.ogg",
     "OggS\0\2\0\0\0\0\0\0\0\0\1\0\0\0\0\0\0\0\x8F\xAB\x14\x52\1\x1E\1vorbis\0\0\0\0\1\x44\xAC\0\0"
     "\0"
     "\0\0\0\x80\xBB\0\0\0\0\0\0\xB8\1",
     58, "audio/ogg", NULL},
    {"a.opus",
     "OggS\0\2\0\0\0\0\0\0\0\0\1\0\0\0\0\0\0\0\x8F\xAB\x14\x52\1\x13OpusHead\1\1\x38\1\x80\xBB\0\0"
     "\0"
     "\0\0",
     47, "audio/ogg", NULL},
    {"a.ogv",
     "OggS\0\2\0\0\0\0\0\0\0\0\1\0\0\0\0\0\0\0\x8F\xAB\x14\x52\1\x2A\x80theora\3\2\1\0\x14\0\x0F\0"
     "\1"
     "\x40\0\0\xF0\0\0",
     50, "video/ogg", NULL},
    {"a.mp3", "ID3\3\0\0\0\0\0\x0ATIT2\0\0\0\0\0\0\xFF\xFB\x90\x44", 24, "audio/mpeg", NULL},
    {"a.m4a",
     "\0\0\0\x20"
     "ftypM4A \0\0\0\0M4A mp42isom\0\0\0\0\0\0\0\x08"
     "free",
     40, "audio/mp4", "audio/x-m4a"},
    {"a.mp4",
     "\0\0\0\x20"
     "ftypisom\0\0\2\0isomiso2avc1mp41\0\0\0\x08"
     "free",
     40, "video/mp4", NULL},
    {"a.mp4",
     "\0\0\0\x18"
     "ftypmp42\0\0\0\0mp42isom\0\0\0\x08"
     "free",
     32, "video/mp4", NULL},
    {"a.mov",
     "\0\0\0\x14"
     "ftypqt  \0\0\2\0qt  \0\0\0\x08wide",
     28, "video/quicktime", NULL},
    {"a.3gp",
     "\0\0\0\x18"
     "ftyp3gp4\0\0\0\0isom3gp4\0\0\0\x08"
     "free",
     32, "video/3gpp", NULL},
};

static void ask_file(const char *bytes, size_t size, char *out, size_t room)
{
	char path[] = "/tmp/fitwright-kind-XXXXXX", command[96];
	int file = mkstemp(path);

	assert_true(file >= 0);
	assert_int_equal(write(file, bytes, size), size);
	close(file);
	snprintf(command, sizeof command, "file --brief --mime-type %s", path);
	FILE *said = popen(command, "r");
	assert_non_null(said);
	assert_non_null(fgets(out, (int)room, said));
	assert_int_equal(pclose(said), 0);
	out[strcspn(out, "\n")] = '\0';
	unlink(path);
}

static void kinds_are_those_of_file(void **state)
{
	char said[128];

	(void)state;
	for (size_t i = 0; i < sizeof samples / sizeof *samples; i++) {
		const struct sample *s = &samples[i];
		const char *kind = fw_evidence_kind(s->first, s->length);
		if (!kind || strcmp(kind, s->kind) != 0)
			fail_msg("sample %zu, %s: %s", i, s->name, kind ? kind : "nothing");
		ask_file(s->first, s->length, said, sizeof said);
		if (strcmp(said, s->other ? s->other : s->kind) != 0)
			fail_msg("sample %zu, %s: file(1) says %s, we say %s", i, s->name, said, kind);
		assert_true(fw_evidence_name_fits(kind, s->name));
		assert_string_not_equal(fw_evidence_words(kind), kind);
	}
}

static void sounds_without_a_tag(void **state)
{
	char bytes[900] = "", said[128];

	(void)state;
	memcpy(bytes, mp3_first, 4);
	memcpy(bytes + 417, mp3_second, 4);
	memcpy(bytes + 417 + 418, mp3_first, 4);
	assert_string_equal(fw_evidence_kind(bytes, sizeof bytes), "audio/mpeg");
	ask_file(bytes, sizeof bytes, said, sizeof said);
	assert_string_equal(said, "audio/mpeg");
	/* Bits alone that look like a frame are none. */
	bytes[417] = 0;
	assert_null(fw_evidence_kind(bytes, sizeof bytes));
	assert_null(fw_evidence_kind(bytes, 417 + 3));
}

/* Cut short after each byte, and with each of the first bytes changed: never read past the end (the
 * sanitizers see that), and never taken for another kind. */
static void cut_and_changed_samples(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof samples / sizeof *samples; i++) {
		const struct sample *s = &samples[i];
		for (size_t length = 0; length < s->length; length++) {
			char *exact = malloc(length + 1); /* ends where the file ends */
			assert_non_null(exact);
			memcpy(exact + 1, s->first, length);
			const char *kind = fw_evidence_kind(exact + 1, length);
			if (kind && strcmp(kind, s->kind) != 0 && strcmp(kind, "application/ogg") != 0)
				fail_msg("%s cut after %zu bytes: %s", s->name, length, kind);
			free(exact);
		}
	}
}

static void what_is_none_of_them(void **state)
{
	static const struct {
		const char *bytes;
		size_t size;
	} none[] = {
	    {"", 0},
	    {"\xFF", 1},
	    {"\xFF\xD8", 2},
	    {"SQLite format 3\0", 16},
	    {"#!/bin/sh\nrm -rf /\n", 19},
	    {"<html><script>", 14},
	    {"<svg xmlns=\"http://www.w3.org/2000/svg\">", 40}, /* can hold scripts */
	    {"PK\3\4", 4},
	    {"\x7F"
	     "ELF\2\1\1",
	     7},
	    {"RIFF\x24\0\0\0AVI LIST", 16},
	    {"\0\0\0\x18"
	     "ftypzzzz\0\0\0\0",
	     16},
	    {"\0\0\0\x00"
	     "ftypisom\0\0\0\0",
	     16},
	    {"\xFF\xFE"
	     "t\0e\0x\0t\0",
	     10}, /* UTF-16 */
	};

	(void)state;
	for (size_t i = 0; i < sizeof none / sizeof *none; i++)
		if (fw_evidence_kind(none[i].bytes, none[i].size))
			fail_msg("%zu is taken for %s", i, fw_evidence_kind(none[i].bytes, none[i].size));
}

static void names_that_fit(void **state)
{
	(void)state;
	assert_true(fw_evidence_name_fits("image/jpeg", "IMG_0001.JPG"));
	assert_true(fw_evidence_name_fits("image/jpeg", "a.b.jpeg"));
	assert_true(fw_evidence_name_fits("image/jpeg", "scan"));
	assert_true(fw_evidence_name_fits("image/jpeg", ".hidden"));
	assert_false(fw_evidence_name_fits("image/jpeg", "a.png"));
	assert_false(fw_evidence_name_fits("image/jpeg", "a.jp"));
	assert_false(fw_evidence_name_fits("image/jpeg", "a.jpg.exe"));
	assert_false(fw_evidence_name_fits("image/jpeg", "a."));
	assert_false(fw_evidence_name_fits("application/pdf", "a.jpg"));
}

int main(void)
{
	const struct CMUnitTest tests[] = {
	    cmocka_unit_test(kinds_are_those_of_file), cmocka_unit_test(sounds_without_a_tag),
	    cmocka_unit_test(cut_and_changed_samples), cmocka_unit_test(what_is_none_of_them),
	    cmocka_unit_test(names_that_fit),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
