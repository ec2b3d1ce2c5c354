/** Whether a secret is meant as a PIN: four to eight digits. A password is longer, so that the two never mix. */
export function isPin(secret: string): boolean {
  return /^[0-9]{4,8}$/.test(secret);
}

/** What a new PIN must be, in words; null where it will do. What is first guessed is refused: one digit repeated, a pair repeated, a run. */
export function pinProblem(pin: string): string | null {
  if (!isPin(pin)) return 'four to eight digits';
  if (/^(\d{1,2})\1+$/.test(pin)) return 'digits that are not one or two repeated';
  const run = '01234567890123';
  if (run.includes(pin) || run.includes(Array.from(pin).reverse().join('')))
    return 'digits that are not a run such as 1234';
  return null;
}
