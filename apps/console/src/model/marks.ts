import type { WinderView } from '@edge-margin/monitoring';

/**
 * The short marks by which people call stations from afar, by `winder/station`: the last word of the winder's name where the names differ only
 * there (`Winder 5` is `5`), else the whole name; with the station's own mark behind it where the winder has several.
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

/** Each name's last word where that is short and tells the names apart, else the names as they are. */
function shortNames(names: readonly string[]): readonly string[] {
  const last = names.map((name) => name.trim().split(/\s+/).at(-1) ?? name);
  const distinct = new Set(last).size === names.length;
  const short = last.every((word) => word.length > 0 && word.length <= 3);
  return distinct && short ? last : names;
}
