import type { CommandAnswer } from '@edge-margin/monitoring';
import type { Command } from '@edge-margin/telemetry';

/** Takes a person's command; the answer comes after its row is durable and folded. */
export interface Commands {
  readonly submit: (actor: string, command: Command) => Promise<CommandAnswer>;
}
