/** Bytes as base64, in pieces, since a call takes only so many arguments. */
export function base64Of(bytes: Uint8Array): string {
  const PIECE = 0x8000;
  let binary = '';
  for (let from = 0; from < bytes.length; from += PIECE) binary += String.fromCharCode(...bytes.subarray(from, from + PIECE));
  return btoa(binary);
}

/** A text's UTF-8 bytes as base64. */
export function base64OfText(text: string): string {
  return base64Of(new TextEncoder().encode(text));
}

/** The bytes that `base64` stands for. @throws where it is not base64. */
export function bytesOf(base64: string): Uint8Array {
  return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
}
