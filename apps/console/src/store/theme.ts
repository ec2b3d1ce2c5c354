export type Theme = 'light' | 'dark';

const storageKey = 'edge-margin.theme';

/** The theme chosen on this screen, else the system's. */
export function firstTheme(): Theme {
  const kept = stored();
  if (kept !== null) return kept;
  return matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light';
}

export function applyTheme(theme: Theme): void {
  document.documentElement.dataset['theme'] = theme;
}

export function keepTheme(theme: Theme): void {
  try {
    localStorage.setItem(storageKey, theme);
  } catch {
    // A browser that stores nothing starts with the system's theme again.
  }
}

function stored(): Theme | null {
  try {
    const theme = localStorage.getItem(storageKey);
    return theme === 'light' || theme === 'dark' ? theme : null;
  } catch {
    return null;
  }
}
