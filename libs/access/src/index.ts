/**
 * Who may do what.
 *
 * The table of roles and actions, and the rules of names, passwords, PINs, sessions and wrong attempts as plain functions of the instant
 * they are given. Nothing here knows of HTTP, cookies or hashing.
 *
 * In: roles, actions, texts that people give, records of sessions and of wrong attempts, the time. Out: yes or no, what would be right in
 * words, and the next record.
 *
 * Attempts never lock out a plant: wrong ones slow down one name at one address, never the name; where a person has been right before
 * (a familiar address) the pause stays short and nothing tried elsewhere counts; what is unfamiliar shares a budget.
 *
 * Sources: NIST SP 800-63B-4 (passwords, waiting times), Unicode Technical Report 36 and Annex 15 (texts that look alike); the figures
 * that they leave open are ours and stand beside each rule.
 */
export {
  type Action,
  actions,
  actionsOf,
  keyActions,
  may,
  openViewingActions,
  type Role,
  roles,
  rolesFor,
} from './roles.js';
export { isPlainText } from './plain-text.js';
export { nameKey, nameProblem } from './names.js';
export { normalPassword, passwordMaxCharacters, passwordProblem } from './password-rule.js';
export { isPin, pinProblem } from './pin-rule.js';
export { isSessionLive, isUseWorthWriting, type SessionRule, sessionEndsAtMs } from './session-life.js';
export {
  afterFailure,
  type Failures,
  type Familiarity,
  isForgotten,
  remainingPauseMs,
} from './attempt-pause.js';
export { afterProof, afterWrongPin, isPinTaken, noPinFailures, type PinFailures } from './pin-attempts.js';
export { type Budget, type BudgetRule, giveBack, isFull, takeOne } from './budget.js';
