// Loaded before the program (node --import): its clock is off by as many milliseconds as the file named by CLOCK_SHIFT_FILE says, which is read
// at the start and on each SIGUSR2. Time that only passes (timers, performance.now) is left alone, as when somebody sets a machine's clock.
import { readFileSync } from 'node:fs';

const trueNow = Date.now;
const TrueDate = Date;
let shiftMs = 0;

const readShift = () => {
  shiftMs = Number(readFileSync(process.env['CLOCK_SHIFT_FILE'] ?? '', 'utf8'));
};

class ShiftedDate extends TrueDate {
  constructor(...parts) {
    if (parts.length === 0) super(trueNow() + shiftMs);
    else super(...parts);
  }

  static now() {
    return trueNow() + shiftMs;
  }
}

readShift();
process.on('SIGUSR2', readShift);
globalThis.Date = ShiftedDate;
