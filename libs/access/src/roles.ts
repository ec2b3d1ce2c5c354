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

/** Whether the role allows the action. */
export function may(role: Role, action: Action): boolean {
  return table[action].includes(role);
}
