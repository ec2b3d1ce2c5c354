/** Pages whose address is one word. */
const plainPages = [
  'alarms',
  'people',
  'keys',
  'audit',
  'service',
  'account',
  'first-administrator',
] as const;
export type PlainPage = (typeof plainPages)[number];

/** The pages and their addresses. */
export type Route =
  | { readonly page: 'all-winders' }
  | { readonly page: 'winder'; readonly winderId: string; readonly stationId: string | null }
  | { readonly page: PlainPage }
  | { readonly page: 'unknown'; readonly path: string };

export function routeOf(path: string): Route {
  const parts = path
    .split('/')
    .filter((part) => part !== '')
    .map(decoded);
  const [first, winderId, stationId] = parts;
  if (first === undefined) return { page: 'all-winders' };
  const plain = plainPages.find((page) => page === first);
  if (plain !== undefined && parts.length === 1) return { page: plain };
  if (first === 'winders' && winderId !== undefined && parts.length <= 3)
    return { page: 'winder', winderId, stationId: stationId ?? null };
  if (first === 'winders' && parts.length === 1) return { page: 'all-winders' };
  return { page: 'unknown', path };
}

/** An escape that is none stays as it stands. */
function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
