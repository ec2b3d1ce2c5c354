/** One wrap that is not yet held for good, with the gap under it. */
export interface Wrap {
  /** Radius at which it was laid. */
  readonly radiusM: number;
  /** Air under it, as thickness at ambient pressure. */
  readonly airM: number;
  readonly gapM: number;
  /** How far it has sunk since it was laid: its tension goes with it. */
  readonly sunkM: number;
  /** Where its middle lies, sideways. */
  readonly offsetM: number;
  /** Half of how much wider than nominal it is. */
  readonly halfWideningM: number;
  /** How far the knives stood from their nominal places when they cut its edges; left out: no knives. */
  readonly cutM?: { readonly tending: number; readonly drive: number };
  /** Share of its length that was wound without contact at either end of the nip. */
  readonly liftedRatio: number;
  readonly wasFree: boolean;
}
