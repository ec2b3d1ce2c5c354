import { html, type TemplateResult } from 'lit';

const digits = ['1', '2', '3', '4', '5', '6', '7', '8', '9'] as const;

/**
 * Digits to press on a touch screen. They are no stops for the keyboard, on which one types into the field itself; whoever points, with a hand, a
 * head or a voice, reaches them.
 */
export function digitKeys(edit: (change: (secret: string) => string) => void): TemplateResult {
  const key = (words: string, change: (secret: string) => string, name = words): TemplateResult =>
    html`<button type="button" tabindex="-1" aria-label=${name} @click=${() => edit(change)}>
      ${words}
    </button>`;
  const add = (digit: string) => key(digit, (secret) => secret + digit, `digit ${digit}`);
  return html`<div class="digits" role="group" aria-label="Digits for touch">
    ${digits.map(add)}${key('clear', () => '', 'clear all digits')}${add('0')}${key('back', (secret) => secret.slice(0, -1), 'take back the last digit')}
  </div>`;
}
