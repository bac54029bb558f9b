/**
 * The bytes of a file as text. Analysers write UTF-8, UTF-16 and the old Western code page; which one is a guess unless the
 * file begins with a byte order mark, so the answer says what was taken and why.
 */
export interface DecodedText {
  readonly text: string;
  readonly encoding: 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';
  /** How it was known, for the list of guesses. */
  readonly reason: string;
}

/** How much of a file is looked at to tell two-byte characters from one-byte ones. */
const SAMPLE = 4096;

/** Decodes a whole file. Never fails: every byte string is text in the old Western code page. */
export function decodeGasFile(bytes: Uint8Array): DecodedText {
  const starts = (...mark: number[]): boolean => mark.every((byte, index) => bytes[index] === byte);
  if (starts(0xef, 0xbb, 0xbf)) return decoded(bytes, 'utf-8', 'the byte order mark at the start says UTF-8');
  if (starts(0xff, 0xfe)) return decoded(bytes, 'utf-16le', 'the byte order mark at the start says UTF-16');
  if (starts(0xfe, 0xff)) return decoded(bytes, 'utf-16be', 'the byte order mark at the start says UTF-16');

  const sample = bytes.subarray(0, SAMPLE);
  const zeros = [0, 0];
  for (const [index, byte] of sample.entries()) if (byte === 0) zeros[index % 2] = (zeros[index % 2] ?? 0) + 1;
  const [even = 0, odd = 0] = zeros;
  const half = sample.length / 2;
  if (odd > 0.6 * half && even < 0.05 * half) return decoded(bytes, 'utf-16le', 'every second byte is zero, as in UTF-16 text');
  if (even > 0.6 * half && odd < 0.05 * half) return decoded(bytes, 'utf-16be', 'every second byte is zero, as in UTF-16 text');
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), encoding: 'utf-8', reason: 'all bytes are valid UTF-8' };
  } catch {
    return decoded(bytes, 'windows-1252', 'the bytes are not UTF-8, so the old Western code page was taken');
  }
}

function decoded(bytes: Uint8Array, encoding: DecodedText['encoding'], reason: string): DecodedText {
  return { text: new TextDecoder(encoding).decode(bytes), encoding, reason };
}
