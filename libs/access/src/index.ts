/**
 * Who may do what.
 *
 * The table of roles and actions, and the rules of passwords, sessions and lock-out as plain functions of the instant they are given.
 * Nothing here knows of HTTP, cookies or hashing.
 */
export { type Action, actions, may, type Role, roles } from './roles.js';
