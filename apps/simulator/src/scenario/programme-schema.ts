import { z } from 'zod';
import { between } from './fields.js';

export const programmeSchema = z.strictObject({
  threadSpeedMPerS: between(0.05, 10, 'm/s', 'Speed while the first wraps are laid'),
  threadS: between(0.2, 3600, 's', 'How long'),
  runSpeedMPerS: between(0.05, 70, 'm/s', 'Running speed'),
  accelerationMPerS2: between(0.01, 20, 'm/s2', 'Speeding up and slowing down'),
  setChangeS: between(1, 1e5, 's', 'Standing between two sets'),
});
