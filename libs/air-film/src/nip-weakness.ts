import { layeredContact } from './layered-contact/index.js';
import { nipContact } from './nip-contact.js';
import { layeredNip } from './nip-film.js';
import { unpressedByBending } from './nip-load/roller-bending.js';
import { unpressedSlopingLane } from './nip-load/sloping-lane.js';
import type { WoundWithoutNip } from './nip-load/wound-without-nip.js';
import { nipOf } from './nip-of.js';
import type { PointNumbers } from './point-numbers.js';

/** Shares of the width that the cover of a touching nip does not reach, each with its reason: a thin lane of the roll, the bent roller. Empty where neither is told. */
export function unpressedByProfile(point: PointNumbers): readonly WoundWithoutNip[] {
  const { profile } = point;
  if (profile === null || point.nipLoadNPerM === 0) return [];
  const { display, rollDiameterM } = point;
  const shares: WoundWithoutNip[] = [];
  if (profile.profileRangeM > 0) {
    const lane = { ...profile, display, rollDiameterM, indentationM: indentation(point) };
    shares.push(unpressedSlopingLane(lane));
  }
  if (profile.bendingStiffnessNM2 > 0) {
    shares.push(
      unpressedByBending({ ...profile, display, loadNPerM: point.nipLoadNPerM }, indentation(point)),
    );
  }
  return shares;
}

/** Share of the width that a touching nip does not press, by profile and by what is said: the causes lie independently of each other (own assumption). */
export function unpressedWidthRatio(point: PointNumbers): number {
  if (point.profile === null || point.nipLoadNPerM === 0) return 0;
  return unpressedByProfile(point).reduce(
    (share, { ratio }) => 1 - (1 - share) * (1 - ratio),
    point.profile.saidUnpressedRatio,
  );
}

/** How far this load indents the cover on an even roll, m. */
function indentation(point: PointNumbers): number {
  const nip = nipOf(point);
  return layeredContact(layeredNip(nip, nipContact(nip))).indentationM;
}
