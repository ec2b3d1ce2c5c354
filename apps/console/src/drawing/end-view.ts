import { highestWithin, stretches } from './risk-profile.js';
import type { GaugeData } from './gauge-scale.js';
import { tintStep } from './tint.js';

/** The roll seen end-on, at true proportion. Calculated from what was measured when each wrap was wound: not a photograph. */
export interface EndView {
  readonly centre: { readonly x: number; readonly y: number };
  /** Filled circles from outside in; `step` is null where nothing is known of the wraps. */
  readonly rings: readonly { readonly radius: number; readonly step: number | null }[];
  readonly wound: number;
  readonly end: number | null;
  readonly core: number;
  readonly bore: number;
  readonly nip: {
    readonly x: number;
    readonly y: number;
    readonly radius: number;
    readonly webX: number;
  } | null;
}

export interface EndViewBox {
  readonly width: number;
  readonly height: number;
  /** Pixels of radius a ring. */
  readonly ring: number;
}

/** Operators read the picture softly: it shows this share of the ramp. */
const softness = 0.8;
/** Room for the strokes. */
const rim = 3;
/** Where the nip stands on the roll, seen from the tending side; drawn for orientation, not measured. */
const nipAngle = (-28 * Math.PI) / 180;

export function endView(data: GaugeData, nipDiameterM: number | null, box: EndViewBox): EndView {
  const { centre, perM } = placement(Math.max(data.setEndM ?? 0, data.nowM, data.coreM), nipDiameterM, box);
  const radius = (diameterM: number) => (diameterM / 2) * perM;
  return {
    centre,
    rings: rings(data, radius, box.ring),
    wound: radius(data.nowM),
    end: data.setEndM !== null && data.setEndM > data.nowM ? radius(data.setEndM) : null,
    core: radius(data.coreM),
    bore: radius(data.coreM * 0.86),
    nip: nipDiameterM === null ? null : nip(centre, radius(data.nowM), radius(nipDiameterM)),
  };
}

/** Roll and nip roller fill the box at the end of the set, so that the scale stays while the roll grows. */
function placement(
  endM: number,
  nipDiameterM: number | null,
  box: EndViewBox,
): { readonly centre: EndView['centre']; readonly perM: number } {
  const roll = endM / 2;
  const roller = (nipDiameterM ?? 0) / 2;
  const reach = nipDiameterM === null ? 0 : roll + roller;
  const right = Math.max(roll, reach * Math.cos(nipAngle) + roller);
  const up = Math.max(roll, -reach * Math.sin(nipAngle) + roller);
  const perM = Math.min((box.width - 2 * rim) / (roll + right), (box.height - 2 * rim) / (roll + up));
  return { centre: { x: box.width - rim - right * perM, y: rim + up * perM }, perM };
}

/** One circle a drawn step of radius, with the tint of the highest chance within it; steps of one tint become one circle. */
function rings(data: GaugeData, radius: (d: number) => number, ring: number): EndView['rings'] {
  const known = stretches(data.wound, data.coreM, data.nowM, data.fullM);
  const count = Math.max(1, Math.floor((radius(data.nowM) - radius(data.coreM)) / ring));
  const stepM = (data.nowM - data.coreM) / count;
  const found: { radius: number; step: number | null }[] = [];
  for (let at = count; at > 0; at -= 1) {
    const toM = data.coreM + at * stepM;
    const risks = known
      .map((stretch) => highestWithin(stretch, toM - stepM, toM))
      .filter((risk) => risk !== null);
    const step = risks.length === 0 ? null : tintStep(softness * Math.max(...risks));
    if (found.length === 0 || found.at(-1)?.step !== step)
      found.push({ radius: Math.round(radius(toM) * 10) / 10, step });
  }
  return found;
}

function nip(centre: EndView['centre'], wound: number, radius: number): NonNullable<EndView['nip']> {
  const x = centre.x + (wound + radius) * Math.cos(nipAngle);
  return { x, y: centre.y + (wound + radius) * Math.sin(nipAngle), radius, webX: x + radius };
}
