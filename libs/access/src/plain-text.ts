/**
 * Characters that do not show: controls (C0, C1), line and paragraph separators, bidirectional overrides and isolates, zero-width ones and
 * halves of surrogate pairs. They let a text look like another one. Source: Unicode Technical Report 36, "Unicode Security
 * Considerations", sections 2.5 and 3.1 (the choice is ours).
 */
const unseen =
  /[\u0000-\u001f\u007f-\u009f\u00ad\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]|\p{Surrogate}/u;
const unseenButLines =
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]|\p{Surrogate}/u;

/** Whether every character of the text shows as itself; `lines` allows line ends and tabs. Markup is text like any other. */
export function isPlainText(text: string, lines: 'one line' | 'lines' = 'one line'): boolean {
  return !(lines === 'lines' ? unseenButLines : unseen).test(text);
}
