const storageKey = 'edge-margin.person';

/** Name of the person at this screen, asked once and kept until the browser's tab is closed; null until then. */
export function person(): string | null {
  try {
    return sessionStorage.getItem(storageKey);
  } catch {
    return null;
  }
}

export function keepPerson(name: string): void {
  try {
    sessionStorage.setItem(storageKey, name);
  } catch {
    // A browser that stores nothing asks again next time.
  }
}

/** A name as the service takes it: 1 to 80 characters; null otherwise. */
export function personName(typed: string): string | null {
  const name = typed.trim().replace(/\s+/g, ' ');
  return name.length >= 1 && name.length <= 80 ? name : null;
}
