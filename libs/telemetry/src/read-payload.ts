import { type Reason, reason } from '@edge-margin/units';
import type { TextDecode } from './compiled-sources.js';
import { deepestNesting, jsonShape, memberCount, repeatedName } from './json-shape.js';
import { shownValue } from './visible-text.js';

export type ReadPayload =
  { readonly ok: true; readonly root: unknown } | { readonly ok: false; readonly because: Reason };

/** Larger messages are not read: five hundred signals fit, a wave form has no place here. */
const mostBytes = 65_536;

/**
 * The document in a payload: parsed JSON (RFC 8259), or the trimmed text of a plain payload. What is not one is told with its reason: empty,
 * too large, not UTF-8, not JSON, nested too deep, a name twice in one object (whose meaning RFC 8259, section 4, leaves open).
 */
export function readPayload(
  payload: Uint8Array,
  kind: 'json' | 'plain',
  textDecoder: TextDecode,
): ReadPayload {
  if (payload.length === 0)
    return refused('payload-empty', `the message is empty: ${wanted(kind)} is needed`);
  if (payload.length > mostBytes) {
    const text = `the message has ${payload.length} bytes: at most ${mostBytes} are read`;
    return refused('payload-too-large', text, { bytes: payload.length, most: mostBytes });
  }
  const text = decoded(payload, textDecoder);
  if (text === undefined)
    return refused('payload-not-utf8', `the message is not UTF-8 text: ${wanted(kind)} in UTF-8 is needed`);
  if (kind === 'plain') return { ok: true, root: text.trim() };
  return readJson(payload, text);
}

function readJson(payload: Uint8Array, text: string): ReadPayload {
  const shape = jsonShape(payload);
  if (shape.depth > deepestNesting) {
    const sentence = `the message nests ${shape.depth} levels deep: at most ${deepestNesting} are read`;
    return refused('json-too-deep', sentence, { depth: shape.depth, most: deepestNesting });
  }
  const parsed = parse(text);
  if (parsed === undefined) return notJson(text);
  if (memberCount(parsed.root) === shape.members) return { ok: true, root: parsed.root };
  const name = repeatedName(text) ?? '';
  const sentence = `the name ${shownValue(name)} stands more than once in one object: it is not clear which value is meant, each name must stand once`;
  return refused('json-repeated-name', sentence, { name: name.slice(0, 40) });
}

function notJson(text: string): ReadPayload {
  const bare = /(?:^|[[:,\s])-?(NaN|Infinity)\b/.exec(text)?.[1];
  if (bare !== undefined) {
    return refused(
      'json-nan',
      `the message holds ${bare}, which is not JSON: leave the field out where there is no value`,
      { word: bare },
    );
  }
  return refused(
    'json-invalid',
    `the message is not JSON, it begins ${shownValue(text)}: ${wanted('json')} is needed`,
  );
}

function parse(text: string): { readonly root: unknown } | undefined {
  try {
    return { root: JSON.parse(text.startsWith('\uFEFF') ? text.slice(1) : text) as unknown };
  } catch {
    return undefined;
  }
}

function decoded(payload: Uint8Array, textDecoder: TextDecode): string | undefined {
  try {
    return textDecoder(payload);
  } catch {
    return undefined;
  }
}

function wanted(kind: 'json' | 'plain'): string {
  return kind === 'json' ? 'a JSON document' : 'the bare value';
}

function refused(code: string, text: string, params: Reason['params'] = {}): ReadPayload {
  return { ok: false, because: reason(code, text, params) };
}
