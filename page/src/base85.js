// Bytes as text: four bytes in five letters, as ZeroMQ's RFC 32 has it (Z85), with _ and | in the place of < and &,
// which markup uses. Base 64 takes a fifteenth more.

const LETTERS = '0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.-:+=^!/*?|_>()[]{}@%$#';
const VALUES = new Uint8Array(128);
for (let n = 0; n < 85; n += 1) VALUES[LETTERS.charCodeAt(n)] = n;

/** The last bytes are filled up with zeros to four. */
export function textOfBytes(bytes) {
  const four = new DataView(new ArrayBuffer(4 * Math.ceil(bytes.length / 4)));
  new Uint8Array(four.buffer).set(bytes);
  let text = '';
  for (let at = 0; at < four.byteLength; at += 4) {
    let value = four.getUint32(at);
    let five = '';
    for (let k = 0; k < 5; k += 1) {
      five = LETTERS[value % 85] + five;
      value = Math.floor(value / 85);
    }
    text += five;
  }
  return text;
}

/** The first `length` bytes that a text stands for. */
export function bytesOfText(text, length) {
  const four = new DataView(new ArrayBuffer(4 * Math.floor(text.length / 5)));
  for (let [at, to] = [0, 0]; to < four.byteLength; to += 4) {
    let value = 0;
    for (const end = at + 5; at < end; at += 1) value = 85 * value + VALUES[text.charCodeAt(at)];
    four.setUint32(to, value);
  }
  return new Uint8Array(four.buffer, 0, length);
}
