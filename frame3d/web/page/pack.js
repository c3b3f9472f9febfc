// A design in an address: compressed, and base64url (RFC 4648) without padding.
//
// The server takes deflate (RFC 1951); a link has zlib's form of it (RFC 1950), whose checksum
// tells when letters were lost or changed.

export async function packed(text, format = "deflate-raw") {
  const bytes = await through(new TextEncoder().encode(text), new CompressionStream(format));
  let letters = "";
  for (let at = 0; at < bytes.length; at += 8192) {
    letters += String.fromCharCode(...bytes.subarray(at, at + 8192));
  }
  return btoa(letters).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
}

/** The text of a link; throws where it is not whole. */
export async function unpacked(letters) {
  const plain = atob(letters.replaceAll("-", "+").replaceAll("_", "/"));
  const bytes = Uint8Array.from(plain, (letter) => letter.charCodeAt(0));
  const stream = new DecompressionStream("deflate");
  return new TextDecoder().decode(await through(bytes, stream, 1_000_000));
}

async function through(bytes, stream, most = Infinity) {
  const reader = new Blob([bytes]).stream().pipeThrough(stream).getReader();
  const parts = [];
  let size = 0;
  for (;;) {
    const { value, done } = await reader.read();
    if (done) break;
    size += value.length;
    if (size > most) throw new RangeError("too large");
    parts.push(value);
  }
  const all = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
