import type { WinderView } from '@edge-margin/monitoring';

/**
 * The short marks by which people call stations from afar, by `winder/station`: the last word of the winder's name where the names differ there
 * (`Winder 5` is `5`), else its first and last word (`Film slitter-rewinder 1` is `Film 1`), else the whole name; with the station's own mark
 * behind it where the winder has several.
 */
export function marksOf(winders: readonly WinderView[]): ReadonlyMap<string, string> {
  const winderMarks = shortNames(winders.map((winder) => winder.name));
  const marks = new Map<string, string>();
  winders.forEach((winder, at) => {
    const mark = winderMarks[at] ?? winder.name;
    const stationMarks = shortNames(winder.stations.map((station) => station.name));
    winder.stations.forEach((station, place) => {
      const own = winder.stations.length > 1 ? ` ${stationMarks[place] ?? station.name}` : '';
      marks.set(`${winder.id}/${station.id}`, mark + own);
    });
  });
  return marks;
}

/** A mark this short is drawn large. */
export const shortMarkLength = 4;

/** Each name's last word, else its first and last word, where these are short and tell the names apart; else the names as they are. */
function shortNames(names: readonly string[]): readonly string[] {
  const words = names.map((name) => name.trim().split(/\s+/));
  const last = words.map((parts) => parts.at(-1) ?? '');
  const firstAndLast = words.map((parts) =>
    parts.length > 1 ? `${parts[0] ?? ''} ${parts.at(-1) ?? ''}` : (parts[0] ?? ''),
  );
  if (tellApart(last, 3)) return last;
  return tellApart(firstAndLast, 12) ? firstAndLast : names;
}

function tellApart(marks: readonly string[], longest: number): boolean {
  return new Set(marks).size === marks.length && marks.every((mark) => mark !== '' && mark.length <= longest);
}
