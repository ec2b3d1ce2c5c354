/**
 * Wraps over which the compression is left out: films are quoted as laid down, and the 1 to 2 % by which two more wraps compress them are within the
 * error of the film itself. It counts in deep stacks.
 */
const uncompressedWraps = 3;

/** What decides how fast the outer wraps lose their air, except speed and tension. */
export interface StackTerms {
  readonly radiusM: number;
  readonly widthM: number;
  readonly permeanceMPerPaS: number;
  readonly viscosityPaS: number;
  readonly pressurePa: number;
}

/** The losses of a wrap per turn of the roll, at one speed and tension. */
export interface VentingPerTurn {
  /** Rise of 1/h^2 through the edges, per turn and wrap of depth, 1/m2: `4 pi T/(V mu w^2)`. */
  readonly sideLossPerM2: number;
  /** Film that the floating stack loses through the web, m: `2 pi P T/V`. */
  readonly webLossM: number;
  /** Gauge pressure that each wrap adds, in atmospheres: `T/(R pa)`. */
  readonly tau: number;
}

/** What a number of turns does to a wrap at one tension, whatever the speed. */
export interface StackDepth {
  /** Mass of a film as laid down, per thickness: it is quoted with {@link uncompressedWraps} wraps on it. */
  readonly laidRatio: number;
  /** Mass per thickness after the turns. */
  readonly squeezeRatio: number;
  /** Turns before the last, each weighed by the pressure over it, for the side leakage. */
  readonly turnsBeforeLast: number;
  /** The last turn, weighed the same way. */
  readonly lastTurn: number;
  /** Half of what the web lets through of its last turn: 1/2, less where there was no whole turn. */
  readonly halfLastTurn: number;
}

/**
 * How much a turn of the roll vents.
 *
 * One turn takes `2 pi R/V` and each wrap adds `T/R` of pressure, so that the radius drops out of both losses.
 * @param speedMPerS m/s, > 0.
 * @param netTensionNPerM tension per width less inertia, N/m, > 0.
 */
export function ventingPerTurn(
  stack: StackTerms,
  speedMPerS: number,
  netTensionNPerM: number,
): VentingPerTurn {
  return {
    sideLossPerM2: sideLossPerTurn(stack, speedMPerS, netTensionNPerM),
    webLossM: webLossPerTurn(stack, speedMPerS, netTensionNPerM),
    tau: netTensionNPerM / (stack.radiusM * stack.pressurePa),
  };
}

/** {@link VentingPerTurn.sideLossPerM2} alone. */
export function sideLossPerTurn(stack: StackTerms, speedMPerS: number, netTensionNPerM: number): number {
  return (
    (2 * forcePerSpeed(speedMPerS, netTensionNPerM)) / (stack.viscosityPaS * stack.widthM * stack.widthM)
  );
}

/** {@link VentingPerTurn.webLossM} alone. */
export function webLossPerTurn(stack: StackTerms, speedMPerS: number, netTensionNPerM: number): number {
  return forcePerSpeed(speedMPerS, netTensionNPerM) * stack.permeanceMPerPaS;
}

function forcePerSpeed(speedMPerS: number, netTensionNPerM: number): number {
  return (2 * Math.PI * netTensionNPerM) / speedMPerS;
}

/**
 * What a number of turns does, see {@link filmAfterTurns}: known once for all speeds where the tension is the same at all of them.
 * @param tau gauge pressure that each wrap adds, in atmospheres.
 * @param turns turns of the roll since the wrap was laid down, >= 0.
 */
export function stackDepth(tau: number, turns: number): StackDepth {
  const before = Math.max(turns - 1, 0);
  const none = compressedArea(0.5, tau);
  const turnsBeforeLast = compressedArea(before + 0.5, tau) - none;
  return {
    laidRatio: 1 + tau * uncompressedWraps,
    squeezeRatio: 1 + tau * Math.max(turns, uncompressedWraps),
    turnsBeforeLast,
    lastTurn: compressedArea(turns + 0.5, tau) - none - turnsBeforeLast,
    halfLastTurn: 0.5 * Math.min(turns, 1),
  };
}

/**
 * The film that a wrap still has after a number of turns, m, while further wraps are wound on it. Below 0: it is gone, and so much more would have vented.
 *
 * Three things thin it (own derivation):
 * 1. *Side leakage.* A flat strip with its edges at ambient pressure loses `dh/dt = -p h^3/(mu w^2)` (thin-film equation, parabolic pressure),
 *    and the k-th turn has the gauge pressure k T/R: 1/h^2 rises by `k 4 pi T/(V mu w^2)` a turn. In the gas the mass flow goes with the
 *    mean density, `(pa + p/2)/(pa + p)` of that.
 * 2. *Compression*: the k-th turn squeezes the same mass to `(pa + 3 T/R)/(pa + k T/R)` of the thickness as laid down, from the fourth turn on.
 * 3. *Through the web*: each wrap adds the same pressure and each sheet has the same resistance, so what a gap loses through the sheet above
 *    it gains through the sheet below: between floating wraps nothing is lost. Only the innermost floating gap has a closed neighbour
 *    below; it loses `P T/R`, whatever its depth. In the steady state that gap moves outwards by one wrap a turn. So the web takes
 *    `2 pi P T/V` from each wrap, in its last turn. (With one wrap this is the loss of a single web, `P p`.)
 *
 * 1 and 2 have a closed form for any real number of turns; without compression it is `k (k + 1) = mu w^2 V/(2 pi T) (1/h1^2 - 1/h0^2)`.
 * 3 is split in half before and half after the last turn's side leakage: within 5 % of the film as laid down after one turn, 1.5 % after three, 1 % from five on
 * (against a turn-by-turn integration), where web and edges vent alike; exact where one of them does.
 *
 * Validity: optimistic by a factor of 2 or so, because a limp wrap touches down at its edges first and traps the middle. Deep stacks: the
 * pressure stops rising when the wraps have shrunk enough to lose their tension ({@link relaxingSettlement}).
 * @param filmM film just after the wrap was laid down, m.
 * @param turns turns of the roll since then, >= 0.
 */
export function filmAfterTurns(perTurn: VentingPerTurn, filmM: number, turns: number): number {
  return filmAtDepth(stackDepth(perTurn.tau, turns), perTurn.sideLossPerM2, perTurn.webLossM, filmM);
}

/** {@link filmAfterTurns} where the turns and the tension have been looked at already: in the innermost loop of every search, so it makes nothing but numbers. */
export function filmAtDepth(
  depth: StackDepth,
  sideLossPerM2: number,
  webLossM: number,
  filmM: number,
): number {
  const { squeezeRatio } = depth;
  const halfWebLossM = depth.halfLastTurn * webLossM;
  const laid = depth.laidRatio * filmM;
  const beforeLastM = sideVented(laid, sideLossPerM2 * depth.turnsBeforeLast) / squeezeRatio - halfWebLossM;
  const vented = sideVented(beforeLastM * squeezeRatio, sideLossPerM2 * depth.lastTurn);
  return vented / squeezeRatio - halfWebLossM;
}

/** A mass (film x compression) after side leakage, which raises its inverse square. Odd in the mass, so that it stays smooth through 0. */
function sideVented(mass: number, inverseSquareRise: number): number {
  return mass / Math.sqrt(1 + inverseSquareRise * mass * mass);
}

/**
 * `integral of k (1 + k tau/2)/(1 + k tau)^3 dk from 0`. From 1/2 to K + 1/2 it stands for the sum over k = 1..K, for any real K >= 0: it is the sum itself for
 * tau = 0 and within tau^2 of it else.
 */
function compressedArea(depth: number, tau: number): number {
  const u = depth * tau;
  if (u < 0.02) {
    const series = 1 / 2 + u * (-5 / 6 + u * (9 / 8 + u * (-7 / 5 + u * (5 / 3 + u * (-27 / 14)))));
    return series * depth * depth;
  }
  const v = 1 + u;
  return (0.5 * Math.log(v) + 0.25 / (v * v) - 0.25) / (tau * tau);
}

/**
 * The radial settling that takes all tension out of the wraps, m: `R T/(E t)` (own derivation, hoop strain of an elastic ring).
 * Beyond it the pressure under further wraps rises less than assumed, and more wraps float.
 */
export function relaxingSettlement(ring: {
  readonly radiusM: number;
  readonly tensionNPerM: number;
  readonly modulusPa: number;
  readonly caliperM: number;
}): number {
  return (ring.radiusM * ring.tensionNPerM) / (ring.modulusPa * ring.caliperM);
}
