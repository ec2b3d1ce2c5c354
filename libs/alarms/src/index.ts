export * from './alarm-types.js';
