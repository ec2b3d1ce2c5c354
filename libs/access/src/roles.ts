/** What a person or a machine may be. */
export const roles = ['viewer', 'operator', 'maintenance', 'engineer', 'administrator'] as const;
export type Role = (typeof roles)[number];

/** What can be done over HTTP, each guarded by its name. */
export const actions = [
  'view',
  'assess-point',
  'acknowledge-alarm',
  'view-service-health',
  'view-audit',
  'manage-people',
  'manage-keys',
] as const;
export type Action = (typeof actions)[number];

/** Who may do what: the only place where that stands. Guards, the documents and the test of every cell are made from it. */
const table: Readonly<Record<Action, readonly Role[]>> = {
  view: ['viewer', 'operator', 'maintenance', 'engineer', 'administrator'],
  'assess-point': ['viewer', 'operator', 'maintenance', 'engineer', 'administrator'],
  'acknowledge-alarm': ['operator', 'maintenance', 'engineer'],
  'view-service-health': ['maintenance', 'engineer', 'administrator'],
  'view-audit': ['engineer', 'administrator'],
  'manage-people': ['administrator'],
  'manage-keys': ['administrator'],
};

/** What a screen may do where nobody is signed in and open viewing is set: look, and compute what changes nothing. */
export const openViewingActions: readonly Action[] = ['view', 'assess-point'];

/** What a key can be made for. People and keys are managed by people: a leaked key must not be able to make itself successors. */
export const keyActions: readonly Action[] = actions.filter(
  (action) => action !== 'manage-people' && action !== 'manage-keys',
);

/** Whether the role allows the action. */
export function may(role: Role, action: Action): boolean {
  return table[action].includes(role);
}

/** The roles that may do it, in the order of `roles`. */
export function rolesFor(action: Action): readonly Role[] {
  return table[action];
}

/** Everything that the role allows. */
export function actionsOf(role: Role): readonly Action[] {
  return actions.filter((action) => may(role, action));
}
