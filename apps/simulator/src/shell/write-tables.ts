import { join } from 'node:path';
import type { Message } from '../instruments/message.js';
import type { Scenario } from '../scenario/scenario-schema.js';
import { stationModels } from '../simulation.js';
import { lineFile } from './line-file.js';
import { closingLines, columnsOf, enter, headingLine, type OpenRows } from './station-table.js';

/** Writes what each station says as a table for import: `<winder>-<station>.csv`, RFC 4180, one row a time stamp. */
export function tableWriter(
  scenario: Scenario,
  directory: string,
): { readonly add: (message: Message) => void; readonly close: () => void } {
  const tables = stationModels(scenario).map((model) => {
    const columns = columnsOf(model);
    const file = lineFile(join(directory, `${model.winder}-${model.station.id}.csv`));
    file.add(headingLine(columns));
    return { columns, file, topics: new Set(columns.map(({ topic }) => topic)) };
  });
  const open = new Map<(typeof tables)[number], OpenRows>();
  return {
    add: (message) => {
      const table = tables.find(({ topics }) => topics.has(message.topic));
      if (table === undefined) return;
      const entered = enter(table.columns, open.get(table) ?? new Map(), message);
      open.set(table, entered.open);
      entered.lines.forEach(table.file.add);
    },
    close: () => {
      for (const table of tables) {
        closingLines(open.get(table) ?? new Map()).forEach(table.file.add);
        table.file.close();
      }
    },
  };
}
