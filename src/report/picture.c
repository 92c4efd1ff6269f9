/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pictures and sounds by their first bytes, and how large a picture is.
 *
 * PNG: W3C PNG (ISO/IEC 15948), 5.2 and 11.2.2. JPEG: ITU-T T.81, B.1.1 and B.2.2. GIF: GIF89a, 17
 * and 18. WebP: RFC 9649, 2.5 to 2.7. FLAC: RFC 9639. Ogg: RFC 3533. WAV, MP3 and MP4 brands: from
 * memory. */
#include "report/picture.h"

#include <string.h>

struct file {
	const unsigned char *bytes;
	size_t size;
};

static bool has(const struct file *file, size_t at, const char *text, size_t length)
{
	return file->size >= length && at <= file->size - length &&
	       memcmp(file->bytes + at, text, length) == 0;
}

static uint32_t big(const unsigned char *p, size_t bytes)
{
	uint32_t value = 0;

	for (size_t i = 0; i < bytes; i++)
		value = value << 8 | p[i];
	return value;
}

static uint32_t little(const unsigned char *p, size_t bytes)
{
	uint32_t value = 0;

	while (bytes--)
		value = value << 8 | p[bytes];
	return value;
}

static bool png(const struct file *file, struct fw_picture *out)
{
	if (!has(file, 0, "\x89PNG\r\n\x1A\n", 8) || !has(file, 12, "IHDR", 4) || file->size < 24)
		return false;
	out->width = big(file->bytes + 16, 4);
	out->height = big(file->bytes + 20, 4);
	return true;
}

static bool gif(const struct file *file, struct fw_picture *out)
{
	if ((!has(file, 0, "GIF87a", 6) && !has(file, 0, "GIF89a", 6)) || file->size < 10)
		return false;
	out->width = little(file->bytes + 6, 2);
	out->height = little(file->bytes + 8, 2);
	return true;
}

static bool webp(const struct file *file, struct fw_picture *out)
{
	const unsigned char *p = file->bytes;

	if (!has(file, 0, "RIFF", 4) || !has(file, 8, "WEBP", 4) || file->size < 30)
		return false;
	if (has(file, 12, "VP8X", 4)) {
		out->width = little(p + 24, 3) + 1;
		out->height = little(p + 27, 3) + 1;
	} else if (has(file, 12, "VP8L", 4)) {
		uint32_t both = little(p + 21, 4);
		out->width = (both & 0x3FFFU) + 1;
		out->height = (both >> 14 & 0x3FFFU) + 1;
	} else if (has(file, 12, "VP8 ", 4)) {
		out->width = little(p + 26, 2) & 0x3FFFU;
		out->height = little(p + 28, 2) & 0x3FFFU;
	} else {
		return false;
	}
	return true;
}

/* A frame header: SOF0 to SOF15 but for DHT, JPG and DAC. */
static bool is_frame(unsigned marker)
{
	return marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
}

static bool jpeg(const struct file *file, struct fw_picture *out)
{
	if (!has(file, 0, "\xFF\xD8\xFF", 3))
		return false;
	for (size_t at = 2; at + 9 <= file->size && file->bytes[at] == 0xFF;) {
		unsigned marker = file->bytes[at + 1];
		if (marker == 0xFF) { /* fill */
			at++;
			continue;
		}
		if (is_frame(marker)) {
			out->height = big(file->bytes + at + 5, 2);
			out->width = big(file->bytes + at + 7, 2);
			return true;
		}
		uint32_t length = big(file->bytes + at + 2, 2);
		if (length < 2)
			return false;
		at += 2 + length;
	}
	return false;
}

static const struct {
	bool (*look)(const struct file *file, struct fw_picture *out);
	const char *type;
} pictures[] = {{png, "image/png"}, {jpeg, "image/jpeg"}, {gif, "image/gif"}, {webp, "image/webp"}};

static const struct {
	size_t at;
	const char *text;
	size_t length;
	size_t second; /* where `more` stands; 0: nowhere */
	const char *more;
	const char *type;
} sounds[] = {
    {0, "RIFF", 4, 8, "WAVE", "audio/wav"},      {0, "fLaC", 4, 0, NULL, "audio/flac"},
    {0, "OggS", 4, 28, "OpusHead", "audio/ogg"}, {0, "OggS", 4, 28, "\x01vorbis", "audio/ogg"},
    {0, "ID3", 3, 0, NULL, "audio/mpeg"},        {0, "\xFF\xFB", 2, 0, NULL, "audio/mpeg"},
    {0, "\xFF\xF3", 2, 0, NULL, "audio/mpeg"},   {0, "\xFF\xF2", 2, 0, NULL, "audio/mpeg"},
    {0, "\xFF\xFA", 2, 0, NULL, "audio/mpeg"},   {4, "ftyp", 4, 8, "M4A ", "audio/mp4"},
};

static const char *sound(const struct file *file)
{
	for (size_t i = 0; i < sizeof sounds / sizeof *sounds; i++)
		if (has(file, sounds[i].at, sounds[i].text, sounds[i].length) &&
		    (!sounds[i].more ||
		     has(file, sounds[i].second, sounds[i].more, strlen(sounds[i].more))))
			return sounds[i].type;
	return NULL;
}

struct fw_picture fw_picture_look(const void *bytes, size_t size)
{
	const struct file file = {bytes, size};
	struct fw_picture picture = {FW_SHOWN_NOT, NULL, 0, 0};

	for (size_t i = 0; i < sizeof pictures / sizeof *pictures; i++) {
		if (!pictures[i].look(&file, &picture))
			continue;
		uint64_t pixels = (uint64_t)picture.width * picture.height;
		if (pixels == 0 || pixels > FW_PICTURE_PIXELS)
			return (struct fw_picture){FW_SHOWN_NOT, NULL, picture.width, picture.height};
		picture.shown = FW_SHOWN_PICTURE;
		picture.type = pictures[i].type;
		return picture;
	}
	picture = (struct fw_picture){FW_SHOWN_NOT, sound(&file), 0, 0};
	if (picture.type)
		picture.shown = FW_SHOWN_SOUND;
	return picture;
}
