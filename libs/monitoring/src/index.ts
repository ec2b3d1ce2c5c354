export type * from './api.js';
export type * from './assessment.js';
