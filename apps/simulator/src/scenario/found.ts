export type Path = readonly (string | number)[];

/** Something wrong, at a path of the scenario. */
export interface Found {
  readonly path: Path;
  readonly text: string;
}

export function when(wrong: boolean, path: Path, text: string): readonly Found[] {
  return wrong ? [{ path, text }] : [];
}
