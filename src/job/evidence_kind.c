/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a file is, by its first bytes.
 *
 * JPEG: ITU-T T.81 (ISO/IEC 10918-1), B.1.1.3 and table B.1: SOI is FFD8, and a marker begins with
 * FF. PNG: W3C PNG specification (ISO/IEC 15948), 5.2. GIF: GIF89a specification, 17. TIFF:
 * TIFF 6.0, section 2. PDF: ISO 32000-1, 7.5.2. WebP: RFC 9649, 2.3 and 2.4. WAV: RIFF, "WAVE",
 * from memory. FLAC: RFC 9639, 8. Ogg: RFC 3533, 6; what is in it by the first packet: RFC 7845
 * (Opus), RFC 9639, 10.1 (FLAC), Vorbis I and Theora specifications, from memory. MP4 and the like:
 * ISO/IEC 14496-12, 4.3: the box "ftyp" with its brands; HEIC: ISO/IEC 23008-12. MP3: ID3v2 tag, or
 * frames of MPEG audio layer III (ISO/IEC 11172-3, 2.4.2.3, and 13818-3). */
#include "job/evidence_kind.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"

const char fw_evidence_kinds[] =
    "JPEG, PNG, GIF, WebP, TIFF, HEIC, PDF, WAV, FLAC, Ogg, MP3, M4A, MP4";

struct file {
	const unsigned char *bytes;
	size_t size;
};

static bool has(const struct file *file, size_t at, const char *text, size_t length)
{
	return file->size >= at + length && memcmp(file->bytes + at, text, length) == 0;
}

/* Kinds that one or two fixed texts tell. */
static const struct {
	const char *first;
	size_t length;
	const char *second; /* NULL: none; else four bytes at offset 8 */
	const char *kind;
} signatures[] = {
    {"\xFF\xD8\xFF", 3, NULL, "image/jpeg"}, {"\x89PNG\r\n\x1A\n", 8, NULL, "image/png"},
    {"GIF87a", 6, NULL, "image/gif"},        {"GIF89a", 6, NULL, "image/gif"},
    {"RIFF", 4, "WEBP", "image/webp"},       {"II*\0", 4, NULL, "image/tiff"},
    {"MM\0*", 4, NULL, "image/tiff"},        {"%PDF-", 5, NULL, "application/pdf"},
    {"RIFF", 4, "WAVE", "audio/wav"},        {"fLaC", 4, NULL, "audio/flac"},
    {"ID3", 3, NULL, "audio/mpeg"},
};

static const char *by_signature(const struct file *file)
{
	for (size_t i = 0; i < sizeof signatures / sizeof *signatures; i++) {
		if (!has(file, 0, signatures[i].first, signatures[i].length))
			continue;
		if (!signatures[i].second || has(file, 8, signatures[i].second, 4))
			return signatures[i].kind;
	}
	return NULL;
}

/* The first page holds the first packet alone, behind a header of 27 bytes and one lacing value. */
static const char *by_ogg(const struct file *file)
{
	static const struct {
		const char *text;
		size_t length;
	} sounds[] = {{"\x01vorbis", 7}, {"OpusHead", 8}, {"\x7F\x46LAC", 5}, {"Speex   ", 8}};

	if (!has(file, 0, "OggS", 4))
		return NULL;
	for (size_t i = 0; i < sizeof sounds / sizeof *sounds; i++)
		if (has(file, 28, sounds[i].text, sounds[i].length))
			return "audio/ogg";
	return has(file, 28, "\x80theora", 7) ? "video/ogg" : "application/ogg";
}

static const struct {
	char brand[5];
	const char *kind;
} brands[] = {
    {"heic", "image/heic"}, {"heix", "image/heic"},      {"heim", "image/heic"},
    {"heis", "image/heic"}, {"M4A ", "audio/mp4"},       {"M4B ", "audio/mp4"},
    {"isom", "video/mp4"},  {"iso2", "video/mp4"},       {"iso4", "video/mp4"},
    {"iso5", "video/mp4"},  {"iso6", "video/mp4"},       {"avc1", "video/mp4"},
    {"mp41", "video/mp4"},  {"mp42", "video/mp4"},       {"M4V ", "video/mp4"},
    {"3gp4", "video/3gpp"}, {"3gp5", "video/3gpp"},      {"3gp6", "video/3gpp"},
    {"mif1", "image/heif"}, {"qt  ", "video/quicktime"},
};

static uint32_t number_at(const unsigned char *p)
{
	return (uint32_t)p[0] << 24 | (uint32_t)p[1] << 16 | (uint32_t)p[2] << 8 | p[3];
}

static const char *by_brand(const struct file *file)
{
	if (!has(file, 4, "ftyp", 4) || file->size < 16)
		return NULL;
	uint32_t box = number_at(file->bytes);
	if (box < 16 || box % 4 != 0 || box > file->size)
		return NULL;
	for (size_t i = 0; i < sizeof brands / sizeof *brands; i++)
		if (has(file, 8, brands[i].brand, 4))
			return brands[i].kind;
	return NULL;
}

/* Bytes of the frame of MPEG audio layer III that begins at `p`; 0 when none can. */
static size_t frame_length(const unsigned char *p)
{
	/* kbit/s by index, version 1, and versions 2 and 2.5; samples a second of version 1. */
	static const uint16_t rates[2][16] = {
	    {0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 0},
	    {0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160, 0},
	};
	static const uint32_t samples[4] = {44100, 48000, 32000, 0};
	unsigned version = p[1] >> 3 & 3U; /* 3: 1, 2: 2, 1: reserved, 0: 2.5 */
	unsigned halved = version == 3 ? 0 : version == 2 ? 1 : 2;

	/* Eleven bits set, layer III. */
	if (p[0] != 0xFF || (p[1] & 0xE6U) != 0xE2U || version == 1)
		return 0;
	uint32_t rate = rates[halved > 0][p[2] >> 4], sampled = samples[p[2] >> 2 & 3U] >> halved;
	if (rate == 0 || sampled == 0)
		return 0;
	return (halved ? 72U : 144U) * rate * 1000U / sampled + (p[2] >> 1 & 1U);
}

/* Two frames, one behind the other: eleven bits alone are met by chance. */
static const char *by_frames(const struct file *file)
{
	size_t first = file->size >= 4 ? frame_length(file->bytes) : 0;

	if (first == 0 || file->size < first + 4 || frame_length(file->bytes + first) == 0)
		return NULL;
	return "audio/mpeg";
}

const char *fw_evidence_kind(const void *bytes, size_t size)
{
	const struct file file = {bytes, size};
	const char *kind = by_signature(&file);

	if (!kind)
		kind = by_ogg(&file);
	if (!kind)
		kind = by_brand(&file);
	return kind ? kind : by_frames(&file);
}

static const struct {
	const char *kind, *words, *endings;
} names[] = {
    {"image/jpeg", "a JPEG photo", "jpg jpeg jpe jfif"},
    {"image/png", "a PNG picture", "png"},
    {"image/gif", "a GIF picture", "gif"},
    {"image/webp", "a WebP picture", "webp"},
    {"image/tiff", "a TIFF picture", "tif tiff dng"},
    {"image/heic", "a HEIC photo", "heic heif"},
    {"image/heif", "a HEIF photo", "heif heic"},
    {"application/pdf", "a PDF document", "pdf"},
    {"audio/wav", "a WAV sound", "wav wave"},
    {"audio/flac", "a FLAC sound", "flac"},
    {"audio/mpeg", "an MP3 sound", "mp3"},
    {"audio/ogg", "an Ogg sound", "ogg oga opus spx"},
    {"video/ogg", "an Ogg film", "ogv ogg"},
    {"application/ogg", "an Ogg file", "ogg ogx oga ogv"},
    {"audio/mp4", "an M4A sound", "m4a m4b mp4"},
    {"video/mp4", "an MP4 film", "mp4 m4v m4a mov"},
    {"video/3gpp", "a 3GP film", "3gp 3gpp mp4"},
    {"video/quicktime", "a QuickTime film", "mov qt"},
};

const char *fw_evidence_words(const char *kind)
{
	for (size_t i = 0; i < sizeof names / sizeof *names; i++)
		if (strcmp(names[i].kind, kind) == 0)
			return names[i].words;
	return kind;
}

static bool same_word(const char *a, size_t length, const char *b)
{
	for (size_t i = 0; i < length; i++)
		if (fw_ascii_lower(a[i]) != fw_ascii_lower(b[i]))
			return false;
	return b[length] == '\0';
}

bool fw_evidence_name_fits(const char *kind, const char *name)
{
	const char *dot = strrchr(name, '.');
	const char *word = NULL;

	for (size_t i = 0; i < sizeof names / sizeof *names; i++)
		if (strcmp(names[i].kind, kind) == 0)
			word = names[i].endings;
	if (!word || !dot || dot == name)
		return true;
	while (*word) {
		size_t length = strcspn(word, " ");
		if (strlen(dot + 1) == length && same_word(word, length, dot + 1))
			return true;
		word += length;
		word += strspn(word, " ");
	}
	return false;
}
