export type * from './assessment.js';
