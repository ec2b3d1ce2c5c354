/** What the HTTP side needs from the rest of the service; each is an interface or a plain class, bound in app.module.ts. */
export const PRESENT = Symbol('what is known now');
export const COMMANDS = Symbol('takes the commands of people');
export const RECORDS = Symbol('stored series, alarm journal and counters');
export const SERVICE_STATE = Symbol('state of the service and its links');
export const LIVE_HUB = Symbol('live events');
export const HEALTH = Symbol('the service’s own health');
export const METRICS = Symbol('figures for collectors');
export const DOCUMENTS = Symbol('descriptions of the interfaces');
export const DOOR = Symbol('who may come in');
export const RUNTIME = Symbol('the running parts');
export const LOG = Symbol('log');
export const MONITOR = Symbol('the folded state of the monitoring');
export const KEEPING = Symbol('what is kept how long');
export const ROLL_UPS = Symbol('roll-ups of the series');
