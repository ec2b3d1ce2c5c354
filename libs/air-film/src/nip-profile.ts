import type { AirPoint, NipShares, WinderNip } from './air-point.js';
import { checkRange } from './check-range.js';
import { inRange } from './in-range.js';

/** What keeps a touching nip from pressing on the whole width, as checked numbers. */
export interface NipProfile {
  /** 0: the roll counts as even. */
  readonly profileRangeM: number;
  readonly caliperM: number;
  readonly thinLaneWidthRatio: number;
  readonly coreDiameterM: number;
  /** 0: the roller counts as straight. */
  readonly bendingStiffnessNM2: number;
  readonly bearingSpanM: number;
  readonly contactWidthM: number;
  readonly weightTowardsRollNPerM: number;
  readonly crownM: number;
  /** 0: the web arrives in the nip. */
  readonly wrapBeforeNipRad: number;
  /** Share of the width that is said not to be pressed, whatever the profile. */
  readonly saidUnpressedRatio: number;
}

/** Share of the width that a thin lane takes where nothing is said: own assumption. */
const defaultThinLaneWidthRatio = 0.1;

/**
 * What a point tells of the profile under its nip, checked; null where it tells nothing that matters.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function nipProfile(point: AirPoint, nip: WinderNip): NipProfile | null {
  const { running, web } = point;
  const { bending, wrapBeforeNipRad = 0 } = nip;
  const profile: NipProfile = {
    profileRangeM: web.profileRangeM ?? 0,
    caliperM: web.caliperM,
    thinLaneWidthRatio: web.thinLaneWidthRatio ?? defaultThinLaneWidthRatio,
    coreDiameterM: running.coreDiameterM ?? 0,
    bendingStiffnessNM2: bending?.bendingStiffnessNM2 ?? 0,
    bearingSpanM: bending?.bearingSpanM ?? 0,
    contactWidthM: bending?.contactWidthM ?? web.widthM,
    weightTowardsRollNPerM: bending?.weightTowardsRollNPerM ?? 0,
    crownM: bending?.crownM ?? 0,
    wrapBeforeNipRad,
    saidUnpressedRatio: point.nipShares === undefined ? 0 : saidUnpressedRatio(point.nipShares),
  };
  checkProfile(profile, bending !== undefined, nip.coverThicknessM);
  const told =
    profile.profileRangeM > 0 ||
    bending !== undefined ||
    wrapBeforeNipRad > 0 ||
    profile.saidUnpressedRatio > 0;
  return told ? profile : null;
}

function checkProfile(profile: NipProfile, bends: boolean, coverThicknessM: number | undefined): void {
  checkRange('wrapBeforeNipRad', profile.wrapBeforeNipRad, 'rad', 0, 2 * Math.PI);
  if (profile.profileRangeM !== 0) {
    checkRange('caliperM', profile.caliperM, 'm', 1e-7, 0.1);
    checkRange('profileRangeM', profile.profileRangeM, 'm', 0, 0.5 * profile.caliperM);
    checkRange('thinLaneWidthRatio', profile.thinLaneWidthRatio, '1', 1e-3, 0.95);
    checkRange('coreDiameterM', profile.coreDiameterM, 'm', 0, 5);
  }
  if (bends) {
    checkRange('bendingStiffnessNM2', profile.bendingStiffnessNM2, 'N m2', 1, 1e13);
    checkRange('contactWidthM', profile.contactWidthM, 'm', 1e-3, 20);
    checkRange('bearingSpanM', profile.bearingSpanM, 'm', profile.contactWidthM, 25);
    checkRange('weightTowardsRollNPerM', profile.weightTowardsRollNPerM, 'N/m', -1e5, 1e5);
    checkRange('crownM', profile.crownM, 'm', -0.01, 0.01);
  }
  if ((profile.profileRangeM > 0 || bends) && (coverThicknessM ?? 0) === 0)
    throw new RangeError(
      'coverThicknessM: 0.0001 to 0.2 m is needed beside profileRangeM or bending, as it tells how far the cover follows; none is given',
    );
}

/**
 * Share of the width that is said not to be pressed. Contact that is lost part of the *time* is not among it: that is an event, not an average.
 * @throws RangeError if a share is not 0 to 1.
 */
function saidUnpressedRatio(shares: NipShares): number {
  const { uncoveredWidthRatio = 0, webTouchesBeforeNip = false, woundWithoutNip = [] } = shares;
  inRange({ name: 'uncoveredWidthRatio', value: uncoveredWidthRatio, unit: '1', low: 0, high: 1 });
  if (webTouchesBeforeNip) return 1;
  return woundWithoutNip
    .filter(({ because, of }) => of === 'width' || because?.code === 'web-touches-before-nip')
    .reduce((share, { ratio }) => 1 - (1 - share) * (1 - ratio), uncoveredWidthRatio);
}
