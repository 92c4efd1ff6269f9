# SPDX-License-Identifier: GPL-3.0-or-later
"""Ed25519, XSalsa20-Poly1305 and the bytes of signatures, with nothing of the program's and no library of its:
written from RFC 8032 (section 5.1), RFC 8439 (section 2.5), and Bernstein's "Extending the Salsa20 nonce".
Slow, and good for nothing but checks."""
import hashlib
import struct

P = 2**255 - 19
L = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
ROOT = pow(2, (P - 1) // 4, P)


def _x(y, sign):
    x2 = (y * y - 1) * pow(D * y * y + 1, P - 2, P) % P
    x = pow(x2, (P + 3) // 8, P)
    if (x * x - x2) % P:
        x = x * ROOT % P
    if (x * x - x2) % P or (x == 0 and sign):
        return None
    return P - x if x & 1 != sign else x


BASE_Y = 4 * pow(5, P - 2, P) % P
BASE = (_x(BASE_Y, 0), BASE_Y)


def _add(a, b):
    (x1, y1), (x2, y2) = a, b
    k = D * x1 * x2 * y1 * y2 % P
    return ((x1 * y2 + x2 * y1) * pow(1 + k, P - 2, P) % P, (y1 * y2 + x1 * x2) * pow(1 - k, P - 2, P) % P)


def _times(n, point):
    out = (0, 1)
    while n:
        if n & 1:
            out = _add(out, point)
        point = _add(point, point)
        n >>= 1
    return out


def _pack(point):
    return (point[1] | (point[0] & 1) << 255).to_bytes(32, "little")


def _unpack(text):
    number = int.from_bytes(text, "little")
    y = number & (2**255 - 1)
    x = _x(y, number >> 255) if y < P else None
    return None if x is None else (x, y)


def public_of(seed):
    h = bytearray(hashlib.sha512(seed).digest()[:32])
    h[0] &= 248
    h[31] = h[31] & 127 | 64
    return _pack(_times(int.from_bytes(h, "little"), BASE))


def verify(key, message, signature):
    a, r, s = _unpack(key), _unpack(signature[:32]), int.from_bytes(signature[32:], "little")
    if a is None or r is None or s >= L:
        return False
    k = int.from_bytes(hashlib.sha512(signature[:32] + key + message).digest(), "little") % L
    return _times(s, BASE) == _add(r, _times(k, a))


def _salsa(words, add):
    x = list(words)
    for _ in range(10):
        for rows in ((0, 4, 8, 12), (5, 9, 13, 1), (10, 14, 2, 6), (15, 3, 7, 11)), ((0, 1, 2, 3), (5, 6, 7, 4), (10, 11, 8, 9), (15, 12, 13, 14)):
            for a, b, c, d in rows:
                for to, one, two, by in ((b, a, d, 7), (c, b, a, 9), (d, c, b, 13), (a, d, c, 18)):
                    s = x[one] + x[two] & 0xFFFFFFFF
                    x[to] ^= (s << by | s >> 32 - by) & 0xFFFFFFFF
    return [a + b & 0xFFFFFFFF for a, b in zip(x, words)] if add else x


def _words(key, middle):
    c = struct.unpack("<4I", b"expand 32-byte k")
    k = struct.unpack("<8I", key)
    m = struct.unpack("<4I", middle)
    return [c[0], *k[:4], c[1], *m, c[2], *k[4:], c[3]]


def _stream(key, nonce, size):
    x = _salsa(_words(key, nonce[:16]), False)
    key = struct.pack("<8I", *(x[i] for i in (0, 5, 10, 15, 6, 7, 8, 9)))
    out = b""
    for block in range(size // 64 + 1):
        out += struct.pack("<16I", *_salsa(_words(key, nonce[16:] + struct.pack("<Q", block)), True))
    return out[:size]


def _poly1305(key, message):
    r = int.from_bytes(key[:16], "little") & 0x0FFFFFFC0FFFFFFC0FFFFFFC0FFFFFFF
    total = 0
    for i in range(0, len(message), 16):
        total = (total + int.from_bytes(message[i:i + 16] + b"\1", "little")) * r % (2**130 - 5)
    return (total + int.from_bytes(key[16:], "little") & 2**128 - 1).to_bytes(16, "little")


def seal(key, nonce, text):
    stream = _stream(key, nonce, 32 + len(text))
    hidden = bytes(a ^ b for a, b in zip(text, stream[32:]))
    return _poly1305(stream[:32], hidden) + hidden


def unseal(key, nonce, sealed):
    stream = _stream(key, nonce, 16 + len(sealed))
    if _poly1305(stream[:32], sealed[16:]) != sealed[:16]:
        return None
    return bytes(a ^ b for a, b in zip(sealed[16:], stream[32:]))


def part(value):
    """One part of what is signed: docs/trail.md, "Signatures"."""
    if value is None:
        return b"n"
    if isinstance(value, int):
        return b"i" + struct.pack(">q", value)
    text = value.encode()
    return b"t" + struct.pack(">Q", len(text)) + text


def signing(purpose, shop, job, count, head, shop_count, shop_head, step, name, role, meaning, reason, at):
    parts = (purpose, shop, job, count, head, shop_count, shop_head, step, name, role, meaning, reason, at)
    return b"fitwright-signature-1\0" + b"".join(map(part, parts))


def card(name, key):
    return b"fitwright-card-1\0" + part(name) + part(key.hex())
