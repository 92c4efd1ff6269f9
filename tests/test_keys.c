/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keys, key files, cards and signatures, without a trail. */
#include <fcntl.h>
#include <signal.h>
#include <sodium.h>
#include <sys/resource.h>

#include "draws.h"
#include "fitwright/people.h"
#include "shop/key_file.h"
#include "shop/secret.h"
#include "trail_make.h"

static void write_file(const char *path, const void *bytes, size_t size)
{
	unlink(path); /* written over, some file systems put it on the disk at once */
	FILE *file = fopen(path, "wb");

	assert_non_null(file);
	assert_int_equal(fwrite(bytes, 1, size, file), size);
	fclose(file);
}

static size_t read_file(char *out, size_t room, const char *path)
{
	FILE *file = fopen(path, "rb");

	assert_non_null(file);
	size_t size = fread(out, 1, room - 1, file);
	out[size] = '\0';
	fclose(file);
	return size;
}

struct place {
	char folder[PATH_MAX], file[PATH_MAX];
};

static int set_up(void **state)
{
	struct place *place = calloc(1, sizeof *place);

	assert_non_null(place);
	make_folder(place->folder);
	make_name(place->file, place->folder, "it");
	*state = place;
	return 0;
}

static int tear_down(void **state)
{
	struct place *place = *state;

	unlink(place->file);
	assert_int_equal(rmdir(place->folder), 0); /* nothing is left lying about */
	free(place);
	return 0;
}

static struct fw_secret *secret_of(const char *seed)
{
	struct fw_secret *secret = NULL;

	assert_int_equal(fw_secret_ready(NULL), FW_OK);
	secret = fw_secret_new();
	assert_non_null(secret);
	assert_true(fw_hex_read(secret->seed, sizeof secret->seed, seed));
	fw_secret_derive(secret);
	return secret;
}

#define TEST_1_SEED   "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
#define TEST_1_PUBLIC "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"

/* RFC 8032, section 7.1: TEST 1, 2, 3 and SHA(abc); checked a second time by tests/outside.py. */
static void test_rfc_8032(void **state)
{
	static const struct {
		const char *seed, *key, *message, *signature;
	} tests[] = {
	    {TEST_1_SEED, TEST_1_PUBLIC, "",
	     "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701"
	     "cf9"
	     "b46bd25bf5f0595bbe24655141438e7a100b"},
	    {"4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
	     "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72",
	     "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d"
	     "0f1"
	     "1d8c387b2eaeb4302aeeb00d291612bb0c00"},
	    {"c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
	     "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025", "af82",
	     "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f7609"
	     "84d"
	     "c6594a7c15e9716ed28dc027beceea1ec40a"},
	    {"833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
	     "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
	     "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a"
	     "3fe"
	     "ebbd454d4423643ce80e2a9ac94fa54ca49f",
	     "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66"
	     "431"
	     "e0303dca179c138ac17ad9bef1177331a704"},
	};
	struct fw_error error = {0};

	(void)state;
	for (size_t i = 0; i < sizeof tests / sizeof *tests; i++) {
		struct fw_secret *secret = secret_of(tests[i].seed);
		uint8_t message[64], signature[FW_SIGNATURE];
		char hex[FW_SIGNATURE_TEXT];
		size_t size = strlen(tests[i].message) / 2;

		assert_true(fw_hex_read(message, size, tests[i].message));
		assert_string_equal(fw_hex_text(hex, fw_secret_public(secret), FW_KEY), tests[i].key);
		assert_ok(fw_secret_sign(signature, message, size, secret, &error));
		assert_string_equal(fw_hex_text(hex, signature, FW_SIGNATURE), tests[i].signature);
		fw_secret_free(secret);
	}
	fw_secret_free(NULL);
}

/* Made with the `argon2` program of the reference implementation ("correct horse", salt as below,
 * -id -t 3 -k 65536 -p 1 -l 32) and the XSalsa20-Poly1305 of tests/outside.py, over the seed of
 * TEST 1 of RFC 8032. */
static const char by_others[] = "fitwright key 1\n"
                                "# made by other programs\n"
                                "name: R. Example\n"
                                "public: " TEST_1_PUBLIC "\n"
                                "salt: 7369787465656e2d627974652d736c74\n"
                                "passes: 3\n"
                                "memory: 65536\n"
                                "nonce: 000102030405060708090a0b0c0d0e0f1011121314151617\n"
                                "sealed: "
                                "a4403cfe8a8f75f3e4e7d18210ea783a7c8548d55fb015a10f8ab0e0daa620f045"
                                "330518f66894a55d5d55a20cfd75a8\n";

/* The same with -t 1 -k 8: quick. */
static const char quick[] = "fitwright key 1\n"
                            "name: R. Example\n"
                            "public: " TEST_1_PUBLIC "\n"
                            "salt: 7369787465656e2d627974652d736c74\n"
                            "passes: 1\n"
                            "memory: 8\n"
                            "nonce: 000102030405060708090a0b0c0d0e0f1011121314151617\n"
                            "sealed: "
                            "aabfc6ea16ad20ba090395d08938a3477901c7f31433a958b248de6c3c8db29da4bc67"
                            "ad05ff5b8aa56c8ef1f9fd2869\n";

static void test_key_file_of_others(void **state)
{
	const struct place *place = *state;
	const char *const texts[] = {by_others, quick};
	struct fw_error error = {0};

	for (size_t i = 0; i < 2; i++) {
		struct fw_secret *secret = NULL;
		char hex[2 * FW_KEY + 1];
		struct fw_card card;

		write_file(place->file, texts[i], strlen(texts[i]));
		assert_ok(fw_key_look(&card, place->file, &error));
		assert_string_equal(card.name, "R. Example");
		assert_ok(fw_key_unlock(&secret, place->file, "correct horse", &error));
		assert_string_equal(fw_hex_text(hex, secret->seed, sizeof secret->seed), TEST_1_SEED);
		fw_secret_free(secret);
		assert_code(fw_key_unlock(&secret, place->file, "correct horsf", &error), FW_ERR_INPUT);
		assert_null(secret);
		assert_contains(error.text, "R. Example");
	}
}

/* src/test.c of the reference implementation of Argon2: version 0x13, t 2, m 2^16, "password",
 * "somesalt". */
static void test_argon2id(void **state)
{
	char text[crypto_pwhash_STRBYTES] = "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$"
	                                    "CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc";

	(void)state;
	assert_int_equal(fw_secret_ready(NULL), FW_OK);
	assert_int_equal(crypto_pwhash_str_verify(text, "password", 8), 0);
}

static void test_make_and_unlock(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_secret *made = NULL, *again = NULL;
	char text[8192], hex[2 * FW_KEY + 1], deep[PATH_MAX], folder[PATH_MAX];
	struct stat status;

	make_name(folder, place->folder, "keys");
	make_name(deep, place->folder, "keys/r-example.key");
	umask(0);
	assert_ok(fw_key_make(&made, deep, "R. Example", "correct horse", &error));
	umask(022);
	assert_int_equal(stat(deep, &status), 0);
	assert_int_equal(status.st_mode & 07777, 0600);
	assert_int_equal(stat(folder, &status), 0);
	assert_int_equal(status.st_mode & 07777, 0700);
	read_file(text, sizeof text, deep);
	assert_contains(text, "\npasses: 3\nmemory: 65536\n");
	assert_null(strstr(text, "correct"));
	assert_null(strstr(text, fw_hex_text(hex, made->seed, sizeof made->seed)));
	assert_ok(fw_key_unlock(&again, deep, "correct horse", &error));
	assert_memory_equal(again->key, made->key, sizeof made->key);
	fw_secret_free(again);
	fw_secret_free(made);

	/* Never over another; and that one is untouched. */
	char after[8192];
	assert_code(fw_key_make(&made, deep, "R. Example", "correct horse", &error), FW_ERR_ARGUMENT);
	assert_null(made);
	assert_contains(error.text, "there already");
	read_file(after, sizeof after, deep);
	assert_string_equal(after, text);
	assert_int_equal(unlink(deep), 0);
	assert_int_equal(rmdir(folder), 0); /* and nothing else in it */
}

static void test_two_keys_differ(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_secret *one = NULL, *two = NULL;
	struct fw_key_file first, second;

	assert_ok(fw_key_make(&one, place->file, "R. Example", "correct horse", &error));
	assert_ok(fw_key_file_read(&first, place->file, &error));
	unlink(place->file);
	assert_ok(fw_key_make(&two, place->file, "R. Example", "correct horse", &error));
	assert_ok(fw_key_file_read(&second, place->file, &error));
	assert_memory_not_equal(one->seed, two->seed, sizeof one->seed);
	assert_memory_not_equal(first.salt, second.salt, sizeof first.salt);
	assert_memory_not_equal(first.nonce, second.nonce, sizeof first.nonce);
	fw_secret_free(one);
	fw_secret_free(two);
}

static void test_refused_to_make(void **state)
{
	const struct place *place = *state;
	static const struct {
		const char *name, *passphrase, *says;
	} tests[] = {
	    {"", "correct horse", "name is empty"},
	    {"R.\nExample", "correct horse", "can't be seen"},
	    {"R.\xE2\x80\xAE Example", "correct horse", "can't be seen"}, /* U+202E turns the text */
	    {" R. Example", "correct horse", "blank"},
	    {"R. \xff", "correct horse", "not UTF-8"},
	    {"R. Example", "", "passphrase is empty"},
	    {"R. Example", "seven77", "fewer than 8"},
	    {"R. Example", "\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4",
	     "fewer than 8"}, /* 8 bytes, 4 characters */
	    {"R. Example", "correct horse ", "blank"},
	    {"R. Example", "correct\thorse", "can't be seen"},
	};
	struct fw_error error = {0};

	for (size_t i = 0; i < sizeof tests / sizeof *tests; i++) {
		struct fw_secret *secret = (void *)1;
		assert_code(fw_key_make(&secret, place->file, tests[i].name, tests[i].passphrase, &error),
		            FW_ERR_ARGUMENT);
		assert_null(secret);
		assert_contains(error.text, tests[i].says);
		assert_int_equal(access(place->file, F_OK), -1);
	}
}

static void test_hostile_key_files(void **state)
{
	const struct place *place = *state;
	static const struct {
		const char *from, *to, *says;
	} tests[] = {
	    {"fitwright key 1", "fitwright key 2", ":1: 'fitwright key 2' is of another version"},
	    {"fitwright key 1", "fitwright card 1", "is not a key file"},
	    {"fitwright key 1", "", ""},
	    {"name:", "nome:", ":2: 'name: …' belongs here"},
	    {"R. Example", "", ":2: the name is empty"},
	    {"R. Example", "R. \xff", "isn't UTF-8"},
	    {"R. Example", "R.\x1b[2J", ":2: the name holds characters"},
	    {"public: d7", "public: ", ":3: 'public' is not 64 hex digits"},
	    {"public: d7", "public: zz", ":3: 'public' is not 64 hex digits"},
	    {"salt: 73", "salt: 7373", ":4: 'salt' is not 32 hex digits"},
	    {"passes: 1", "passes: 0", ":5: 'passes' is not a whole number from 1 to 16"},
	    {"passes: 1", "passes: 17", ":5: 'passes'"},
	    {"memory: 8", "memory: 7", ":6: 'memory'"},
	    {"memory: 8", "memory: 1048577", ":6: 'memory' is not a whole number from 8 to 1048576"},
	    {"memory: 8", "memory: 99999999999999999999999999", ":6: 'memory'"},
	    {"memory: 8", "memory: 18446744073709551624", ":6: 'memory'"}, /* 2^64 + 8 */
	    {"memory: 8", "memory: -8", ":6: 'memory'"},
	    {"nonce: 00", "nonce: ", ":7: 'nonce' is not 48 hex digits"},
	    {"nonce: 00", "", ":7: 'nonce: …' belongs here"},
	    {"sealed: aa", "sealed: ", ":8: 'sealed' is not 96 hex digits"},
	    {"1f9fd2869\n", "1f9fd2869\nmore: 1\n", ":9: nothing more belongs here"},
	};
	struct fw_error error = {0};

	for (size_t i = 0; i < sizeof tests / sizeof *tests; i++) {
		char text[4096];
		const char *at = strstr(quick, tests[i].from);
		struct fw_secret *secret = (void *)1;

		assert_non_null(at);
		snprintf(text, sizeof text, "%.*s%s%s", (int)(at - quick), quick, tests[i].to,
		         at + strlen(tests[i].from));
		write_file(place->file, text, strlen(text));
		assert_code(fw_key_unlock(&secret, place->file, "correct horse", &error), FW_ERR_ARGUMENT);
		assert_null(secret);
		assert_contains(error.text, tests[i].says);
		assert_contains(error.text, place->file);
	}
}

/* Cut off anywhere it is no key file, but for its last line end. */
static void test_truncated(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_card card;

	for (size_t size = 0; size + 1 < strlen(quick); size++) {
		write_file(place->file, quick, size);
		assert_code(fw_key_look(&card, place->file, &error), FW_ERR_ARGUMENT);
	}
	write_file(place->file, quick, strlen(quick) - 1);
	assert_ok(fw_key_look(&card, place->file, &error));
}

/* Another's public half in front of a key: it would sign in vain. */
static void test_public_half_changed(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_secret *secret = NULL;
	char text[4096];

	snprintf(text, sizeof text, "%s", quick);
	char *digit = strstr(text, "public: ") + 8;
	*digit = *digit == 'd' ? 'e' : 'd';
	write_file(place->file, text, strlen(text));
	assert_code(fw_key_unlock(&secret, place->file, "correct horse", &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "'public'");
}

static void test_odd_files(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_card card;
	static char big[100000];

	assert_code(fw_key_look(&card, place->file, &error), FW_ERR_NOT_FOUND);
	assert_code(fw_card_read(&card, place->file, &error), FW_ERR_NOT_FOUND);
	assert_code(fw_key_look(&card, place->folder, &error), FW_ERR_ARGUMENT);
	memset(big, '#', sizeof big);
	write_file(place->file, big, sizeof big);
	assert_code(fw_key_look(&card, place->file, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "too long");
	write_file(place->file, "fitwright key 1\0name: x\n", 25);
	assert_code(fw_key_look(&card, place->file, &error), FW_ERR_ARGUMENT);
	unlink(place->file);
	assert_int_equal(mkfifo(place->file, 0600),
	                 0); /* nobody writes to it: it mustn't be waited for */
	assert_code(fw_key_look(&card, place->file, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, "ordinary file");
}

static void write_card(const struct place *place, const char *name)
{
	struct fw_error error = {0};
	struct fw_secret *secret = secret_of(TEST_1_SEED);
	char *text = NULL;

	assert_ok(fw_card_text(&text, name, secret, &error));
	write_file(place->file, text, strlen(text));
	free(text);
	fw_secret_free(secret);
}

static void test_card(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_card card;
	char hex[FW_KEY_TEXT], print[FW_FINGERPRINT_TEXT], text[4096];

	write_card(place, "R. Exämple");
	assert_ok(fw_card_read(&card, place->file, &error));
	assert_string_equal(card.name, "R. Exämple");
	assert_string_equal(fw_hex_text(hex, card.key, FW_KEY), TEST_1_PUBLIC);
	assert_string_equal(fw_key_fingerprint(print, card.key),
	                    "d75a 9801 82b1 0ab7 d54b fed3 c964 073a");

	/* As it may come out of a mail. */
	size_t size = read_file(text, sizeof text, place->file), out = 0;
	char mail[8192];
	for (size_t i = 0; i < size; i++) {
		if (text[i] == '\n') {
			mail[out++] = ' ';
			mail[out++] = '\r';
		}
		mail[out++] = text[i];
	}
	write_file(place->file, mail, out);
	assert_ok(fw_card_read(&card, place->file, &error));

	/* Another name over the same key. */
	memcpy(strstr(text, "R. Ex"), "S. Ex", 5);
	write_file(place->file, text, size);
	assert_code(fw_card_read(&card, place->file, &error), FW_ERR_ARGUMENT);
	assert_contains(error.text, ":4: the signature doesn't fit");
}

static struct fw_signing example(void)
{
	struct fw_signing signing = {.purpose = FW_FOR_HOLD,
	                             .shop = "00112233445566778899aabbccddeeff",
	                             .job = 3,
	                             .count = 17,
	                             .shop_count = 4,
	                             .step = "bores-measured",
	                             .name = "A. Sample",
	                             .role = "inspector",
	                             .meaning = "bores within limits",
	                             .reason = NULL,
	                             .at = MAKE_TIME};

	memset(signing.head, 0xA5, FW_HASH);
	memset(signing.shop_head, 0x5A, FW_HASH);
	return signing;
}

/* The bytes put together by docs/trail.md, "Signatures", and nothing else. */
static size_t by_hand(unsigned char *at, const struct fw_signing *s)
{
	unsigned char *start = at;
	char head[FW_HASH_TEXT], shop_head[FW_HASH_TEXT];

	for (size_t i = 0; i < FW_HASH; i++) {
		snprintf(head + 2 * i, 3, "%02x", s->head[i]);
		snprintf(shop_head + 2 * i, 3, "%02x", s->shop_head[i]);
	}
	memcpy(at, "fitwright-signature-1\0", 22);
	at += 22;
	at += make_text(at, "hold");
	at += make_text(at, s->shop);
	*at++ = 'i';
	at += make_number(at, (uint64_t)s->job);
	*at++ = 'i';
	at += make_number(at, (uint64_t)s->count);
	at += make_text(at, head);
	*at++ = 'i';
	at += make_number(at, (uint64_t)s->shop_count);
	at += make_text(at, shop_head);
	at += make_text(at, s->step);
	at += make_text(at, s->name);
	at += make_text(at, s->role);
	at += make_text(at, s->meaning);
	at += make_text(at, s->reason);
	at += make_text(at, s->at);
	return (size_t)(at - start);
}

static void test_signature_bytes(void **state)
{
	struct fw_error error = {0};
	struct fw_secret *secret = secret_of(TEST_1_SEED);
	struct fw_signing signing = example();
	unsigned char bytes[2048];
	uint8_t signature[FW_SIGNATURE], other[FW_SIGNATURE];

	(void)state;
	assert_ok(fw_signature_make(signature, &signing, secret, &error));
	assert_int_equal(crypto_sign_verify_detached(signature, bytes, by_hand(bytes, &signing),
	                                             fw_secret_public(secret)),
	                 0);
	assert_int_equal(
	    crypto_sign_detached(other, NULL, bytes, by_hand(bytes, &signing), secret->key), 0);
	assert_memory_equal(other, signature, FW_SIGNATURE);
	assert_true(fw_signature_check(&signing, fw_secret_public(secret), signature));
	fw_secret_free(secret);
}

static void test_every_field_counts(void **state)
{
	struct fw_error error = {0};
	struct fw_secret *secret = secret_of(TEST_1_SEED);
	const struct fw_signing good = example();
	uint8_t signature[FW_SIGNATURE], key[FW_KEY];
	struct fw_signing changed[32];
	size_t count = 0;

	(void)state;
	assert_ok(fw_signature_make(signature, &good, secret, &error));
#define CHANGE(member, value)                                                                      \
	do {                                                                                           \
		changed[count] = good;                                                                     \
		changed[count++].member = (value);                                                         \
	} while (0)
	CHANGE(purpose, FW_FOR_SIGN);
	CHANGE(shop, "00112233445566778899aabbccddeefe");
	CHANGE(shop, NULL);
	CHANGE(job, 2);
	CHANGE(job, -3);
	CHANGE(count, 18);
	CHANGE(head[31], 0xA4);
	CHANGE(shop_count, 5);
	CHANGE(shop_head[0], 0x5B);
	CHANGE(step, "bores-measure");
	CHANGE(step, NULL);
	CHANGE(name, "R. Example");
	CHANGE(role, "technician");
	CHANGE(meaning, "bores within limits ");
	CHANGE(meaning, "");
	CHANGE(meaning, NULL);
	CHANGE(reason, "");
	CHANGE(reason, "none");
	CHANGE(at, "2026-03-05T14:03:11.251Z");
	/* What stands at the seam of two fields belongs to one of them. */
	CHANGE(name, "A. Sampleinspector");
	changed[count - 1].role = "";
	assert_true(count < 32);
	for (size_t i = 0; i < count; i++)
		if (fw_signature_check(&changed[i], fw_secret_public(secret), signature))
			fail_msg("change %zu isn't noticed", i);
	for (size_t bit = 0; bit < 8 * FW_SIGNATURE; bit++) {
		signature[bit / 8] ^= (uint8_t)(1U << bit % 8);
		assert_false(fw_signature_check(&good, fw_secret_public(secret), signature));
		signature[bit / 8] ^= (uint8_t)(1U << bit % 8);
	}
	memcpy(key, fw_secret_public(secret), FW_KEY);
	key[5] ^= 1;
	assert_false(fw_signature_check(&good, key, signature));
	/* A key of small order, and S not below the order of the group (RFC 8032, 5.1.7). */
	memset(key, 0, FW_KEY);
	assert_false(fw_signature_check(&good, key, signature));
	memset(signature + 32, 0xFF, 32);
	assert_false(fw_signature_check(&good, fw_secret_public(secret), signature));
	fw_secret_free(secret);
}

static void test_purposes(void **state)
{
	static const char *const names[] = {"sign", "hold", "concession", "reopen", "person"};
	enum fw_purpose purpose;

	(void)state;
	for (size_t i = 0; i < 5; i++) {
		assert_true(fw_purpose_find(&purpose, names[i]));
		assert_int_equal(purpose, i);
		assert_string_equal(fw_purpose_name(purpose), names[i]);
	}
	assert_false(fw_purpose_find(&purpose, "Sign"));
}

static void test_hex(void **state)
{
	uint8_t bytes[4] = {9, 9, 9, 9};
	static const char *const bad[] = {"",         "0",        "0102030",  "010203045",
	                                  "0102 304", "010203g4", "01:02:03", NULL};

	(void)state;
	assert_true(fw_hex_read(bytes, 4, "0aFf01Fe"));
	assert_int_equal(bytes[0] << 24 | bytes[1] << 16 | bytes[2] << 8 | bytes[3], 0x0aff01fe);
	for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
		assert_false(fw_hex_read(bytes, 4, bad[i]));
}

static void test_paths(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	char path[PATH_MAX], wanted[PATH_MAX], other[PATH_MAX];
	uint8_t key[FW_KEY];

	assert_non_null(fw_key_path(path, sizeof path, place->folder, "R. O'Example-Jr.", &error));
	make_name(wanted, place->folder, "r-o-example-jr.key");
	assert_string_equal(path, wanted);
	assert_non_null(fw_key_path(path, sizeof path, place->folder, "../../Ü", &error));
	make_name(wanted, place->folder, "Ü.key");
	assert_string_equal(path, wanted);
	assert_non_null(fw_key_path(path, sizeof path, place->folder, "..", &error));
	make_name(wanted, place->folder, "-.key");
	assert_string_equal(path, wanted);
	assert_null(fw_key_path(path, 20, "a-folder-with-a-name", "R. Example", &error));
	assert_contains(error.text, "too long");

	/* A second key of a name lies beside the first, and each is found. */
	make_name(wanted, place->folder, "r-example.key");
	make_name(other, place->folder, "r-example-2.key");
	assert_true(fw_hex_read(key, FW_KEY, TEST_1_PUBLIC));
	assert_null(fw_key_find(path, sizeof path, place->folder, "R. Example", key, &error));
	assert_int_equal(error.code, FW_ERR_NOT_FOUND);
	assert_contains(error.text, wanted);
	write_file(wanted, "fitwright key 1\nbroken\n", 23);
	assert_non_null(fw_key_path(path, sizeof path, place->folder, "r. example", &error));
	assert_string_equal(path, other);
	assert_null(fw_key_find(path, sizeof path, place->folder, "R. Example", key, &error));
	assert_contains(error.text, ":2: ");
	write_file(other, quick, strlen(quick));
	assert_non_null(fw_key_find(path, sizeof path, place->folder, "R. Example", key, &error));
	assert_string_equal(path, other);
	unlink(wanted);
	unlink(other);
}

static void test_keys_folder(void **state)
{
	char path[PATH_MAX];
	struct fw_error error = {0};

	(void)state;
	unsetenv("FITWRIGHT_KEYS");
	setenv("HOME", "/home/a", 1);
	setenv("XDG_DATA_HOME", "relative", 1);
	assert_string_equal(fw_keys_folder(path, sizeof path, &error),
	                    "/home/a/.local/share/fitwright/keys");
	setenv("XDG_DATA_HOME", "/data", 1);
	assert_string_equal(fw_keys_folder(path, sizeof path, &error), "/data/fitwright/keys");
	setenv("FITWRIGHT_KEYS", "stick/keys", 1);
	assert_string_equal(fw_keys_folder(path, sizeof path, &error), "stick/keys");
	unsetenv("FITWRIGHT_KEYS");
	unsetenv("XDG_DATA_HOME");
	unsetenv("HOME");
	assert_null(fw_keys_folder(path, sizeof path, &error));
	assert_contains(error.text, "HOME");
}

/* A disk that is full: nothing half written stays. */
static void test_no_room(void **state)
{
	const struct place *place = *state;
	struct fw_error error = {0};
	struct fw_secret *secret = NULL;
	struct rlimit before, small = {100, 100};

	assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
	small.rlim_max = before.rlim_max;
	signal(SIGXFSZ, SIG_IGN);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
	assert_code(fw_key_make(&secret, place->file, "R. Example", "correct horse", &error),
	            FW_ERR_STATE);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
	assert_null(secret);
	assert_int_equal(access(place->file, F_OK), -1);
}

/* One to four changes: a byte flipped, taken out, put in, or a piece written again elsewhere. */
static size_t mutate(char *text, size_t size, size_t room, uint64_t *seed)
{
	for (uint64_t changes = 1 + next(seed) % 4; changes > 0; changes--) {
		size_t at = next(seed) % (size + 1), length = 1 + next(seed) % 40;
		switch (next(seed) % 5) {
		case 0:
			if (at < size)
				text[at] = (char)(next(seed) & 0xff);
			break;
		case 1:
			if (at + length <= size) {
				memmove(text + at, text + at + length, size - at - length);
				size -= length;
			}
			break;
		case 2:
			if (size < room) {
				memmove(text + at + 1, text + at, size - at);
				text[at] = "0123456789abcdef\n:# \r"[next(seed) % 21];
				size++;
			}
			break;
		case 3:
			if (at + length <= size) {
				size_t from = next(seed) % (size - length + 1);
				memmove(text + at, text + from, length);
			}
			break;
		default:
			size = at;
		}
	}
	return size;
}

/* Whatever was done to it, it reads as what it was, or not at all. */
static void try_key(const struct place *place, size_t *read)
{
	struct fw_key_file file;
	struct fw_secret *secret = NULL;
	struct fw_error error = {0};
	char hex[2 * FW_KEY + 1];

	int code = fw_key_file_read(&file, place->file, &error);
	assert_true(code == FW_OK || (code == FW_ERR_ARGUMENT && error.text[0]));
	if (code != FW_OK || file.passes * file.memory > 1024)
		return;
	++*read;
	code = fw_key_unlock(&secret, place->file, "correct horse", &error);
	assert_true(code == FW_OK || code == FW_ERR_INPUT || code == FW_ERR_ARGUMENT);
	if (code == FW_OK)
		assert_string_equal(fw_hex_text(hex, secret->seed, FW_KEY), TEST_1_SEED);
	fw_secret_free(secret);
}

static void try_card(const struct place *place, size_t *read)
{
	struct fw_card card;
	struct fw_error error = {0};
	char hex[FW_KEY_TEXT];

	int code = fw_card_read(&card, place->file, &error);
	assert_true(code == FW_OK || (code == FW_ERR_ARGUMENT && error.text[0]));
	if (code != FW_OK)
		return;
	++*read;
	assert_string_equal(card.name, "R. Example");
	assert_string_equal(fw_hex_text(hex, card.key, FW_KEY), TEST_1_PUBLIC);
}

static void test_mutated(void **state)
{
	const struct place *place = *state;
	char card[4096], text[4200];
	uint64_t seed = 20260305;
	size_t keys = 0, cards = 0;

	write_card(place, "R. Example");
	size_t card_size = read_file(card, sizeof card, place->file);
	for (int i = 0; i < 10000; i++) {
		bool key = i % 2 == 0;
		size_t size = key ? strlen(quick) : card_size;
		memcpy(text, key ? quick : card, size);
		write_file(place->file, text, mutate(text, size, 4100, &seed));
		key ? try_key(place, &keys) : try_card(place, &cards);
	}
	print_message("of 10000 changed files %zu keys and %zu cards could be read\n", keys, cards);
	assert_in_range(keys, 50, 4950);
	assert_in_range(cards, 5, 4950);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
	const struct CMUnitTest tests[] = {
	    TEST(test_rfc_8032),
	    TEST(test_argon2id),
	    TEST(test_key_file_of_others),
	    TEST(test_make_and_unlock),
	    TEST(test_two_keys_differ),
	    TEST(test_refused_to_make),
	    TEST(test_hostile_key_files),
	    TEST(test_truncated),
	    TEST(test_public_half_changed),
	    TEST(test_odd_files),
	    TEST(test_card),
	    TEST(test_signature_bytes),
	    TEST(test_every_field_counts),
	    TEST(test_purposes),
	    TEST(test_hex),
	    TEST(test_paths),
	    TEST(test_keys_folder),
	    TEST(test_no_room),
	    TEST(test_mutated),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
