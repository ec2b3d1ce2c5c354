import { shortened, visibleText } from './visible-text.js';

const mostCharacters = 200;

/** The start of a payload as text for people, at most 200 characters; bytes that are no UTF-8 are written as `\xNN`. */
export function payloadSample(payload: Uint8Array, textDecoder: (bytes: Uint8Array) => string): string {
  const whole = payload.length <= mostCharacters;
  const text = textOf(
    whole ? payload : payload.subarray(0, characterStart(payload, mostCharacters)),
    textDecoder,
  );
  return shortened(whole ? text : `${text}…`, mostCharacters);
}

function textOf(bytes: Uint8Array, textDecoder: (bytes: Uint8Array) => string): string {
  try {
    return visibleText(textDecoder(bytes));
  } catch {
    return Array.from(bytes, byteText).join('');
  }
}

function byteText(byte: number): string {
  return byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : `\\x${byte.toString(16).padStart(2, '0')}`;
}

/** The last index up to `index` at which a UTF-8 character begins; a character has four bytes at most (RFC 3629, 3). */
function characterStart(bytes: Uint8Array, index: number): number {
  for (let start = index; start > index - 4; start -= 1) {
    if (((bytes[start] ?? 0) & 0xc0) !== 0x80) return start;
  }
  return index;
}
