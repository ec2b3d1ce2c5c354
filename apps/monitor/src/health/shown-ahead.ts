import type { AlarmView } from '@edge-margin/alarms';
import type { Journal } from '@edge-margin/journal';
import { foldRow, type Monitor, openAlarms, type TroubleSign } from '@edge-margin/monitoring';
import type { CommandRow } from '@edge-margin/telemetry';
import { randomUUID } from 'node:crypto';

export interface ShownAheadOptions {
  readonly journal: Pick<Journal, 'append' | 'lastPosition' | 'durable'>;
  readonly pipeline: {
    readonly monitor: Monitor;
    /** Rows that are not folded yet. */
    readonly backlog: number;
    /** Why what is folded is not stored, and therefore not shown. */
    readonly failure: Error | undefined;
  };
  readonly show: (alarm: AlarmView) => void;
  /** Epoch ms. */
  readonly now: () => number;
}

/** Reports of own troubles on their way through the journal, and the alarms that will come of them where that takes long. */
export interface ShownAhead {
  /** Journals the report, as a command of the service to itself. A journal that fails keeps it in memory until it can be written. */
  readonly report: (sign: TroubleSign) => void;
  /** To be called at each look, before anything new is reported. */
  readonly look: () => void;
}

/**
 * An alarm is stored before it is shown, and stored only when its row is on disk: while journal or store cannot be written, none would come
 * of the very report that says so. What a report will bring about is certain, though: it follows from the row and from the own alarms
 * alone. What has not come to its end by the next look is therefore folded on the side, and the alarms are shown as they will be recorded.
 */
export function showAhead({ journal, pipeline, show, now }: ShownAheadOptions): ShownAhead {
  let waiting: readonly ReportRow[] = [];
  /** Position of the last report whose alarm is shown. */
  let shown = 0;

  return {
    report: ({ trouble, stage, because }) => {
      const row = {
        kind: 'command',
        commandId: randomUUID(),
        actor: 'edge-margin',
        command: { type: 'report-own-trouble', trouble, stage, because },
        arrivedAtMs: now(),
      } as const;
      waiting = [...waiting, { ...row, position: journal.append(row) }];
    },
    look: () => {
      const done = Math.min(journal.durable(), journal.lastPosition() - pipeline.backlog);
      if (pipeline.failure === undefined) waiting = waiting.filter(({ position }) => position > done);
      const news = waiting.filter(({ position }) => position > shown);
      if (news.length === 0) return;
      shown = news.at(-1)?.position ?? shown;
      const isNew = ({ alarmKey }: AlarmView): boolean =>
        news.some((row) => alarmKey.endsWith(`.${row.command.trouble}`));
      for (const alarm of ownAlarmsAfter(pipeline.monitor, waiting).filter(isNew)) show(alarm);
    },
  };
}

type ReportRow = CommandRow & {
  readonly command: Extract<CommandRow['command'], { readonly type: 'report-own-trouble' }>;
};

/** Only messages and plant files are decoded, and a report is neither. */
const dependencies = { textDecoder: () => '' };

/** A report that is folded already brings about nothing the second time. */
function ownAlarmsAfter(before: Monitor, rows: readonly ReportRow[]): readonly AlarmView[] {
  const after = rows.reduce((monitor, row) => foldRow(monitor, row, dependencies).monitor, before);
  return openAlarms(after).filter(({ mechanism }) => mechanism === 'service');
}
