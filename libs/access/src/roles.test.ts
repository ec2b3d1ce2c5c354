import { describe, expect, it } from 'vitest';
import { actions, actionsOf, keyActions, may, openViewingActions, roles, rolesFor } from './roles.js';

describe('the table of roles and actions', () => {
  it('lets every role look', () => {
    expect(rolesFor('view')).toEqual(roles);
  });

  it('gives every action somebody who may do it, and every role something', () => {
    for (const action of actions) expect(rolesFor(action).length, action).toBeGreaterThan(0);
    for (const role of roles) expect(actionsOf(role).length, role).toBeGreaterThan(0);
  });

  it('lets who manages people not act for the plant, and who acts for the plant not manage people', () => {
    expect(may('administrator', 'acknowledge-alarm')).toBe(false);
    for (const role of rolesFor('acknowledge-alarm')) expect(may(role, 'manage-people'), role).toBe(false);
  });

  it('lets a screen without a person do nothing that a viewer may not', () => {
    for (const action of openViewingActions) expect(may('viewer', action)).toBe(true);
  });

  it('makes no keys that could make people or keys', () => {
    expect(keyActions).not.toContain('manage-people');
    expect(keyActions).not.toContain('manage-keys');
  });
});
