import type { FigureRange } from './conversion.js';

/** What such a grade usually has. Ranges from low to high, SI. */
export interface TypicalGrade {
  readonly id: string;
  readonly name: string;
  /** Where the figures come from: shown wherever they are. */
  readonly basis: typeof fromMemory;
  readonly caliperM: FigureRange;
  readonly grammageKgPerM2: FigureRange;
  /** Elastic modulus in machine direction. */
  readonly modulusPa: FigureRange;
  /** Rms roughness Rq of each of the two sides. */
  readonly roughnessM: readonly [FigureRange, FigureRange];
  /** Height of the peaks of film, of which a third counts as roughness (see `peakRoughnessFromRz`); left out where Rq counts. */
  readonly peakHeightM?: FigureRange;
  /** Kinetic friction, web on web. */
  readonly frictionRatio: FigureRange;
  /** 0 to 0: airtight. */
  readonly permeanceMPerPaS: FigureRange;
  readonly tensionNPerM: FigureRange;
  readonly nipLoadNPerM: FigureRange;
  readonly speedMPerS: FigureRange;
}

const fromMemory = 'typical, from memory; replace by measured';

const to = (low: number, high: number, unit = 1): FigureRange => ({ low: low * unit, high: high * unit });
const micro = 1e-6;
const giga = 1e9;
const bothSides = (range: FigureRange): readonly [FigureRange, FigureRange] => [range, range];

/**
 * Starting values for grades that nobody has measured yet: engineering memory, not data. Every figure is to be replaced by a measured one, roughness first.
 * Grammages of film and foil: caliper times the density of the material (PET 1390, BOPP 905, aluminium 2700 kg/m3, handbook values from memory).
 */
export const typicalGrades: readonly TypicalGrade[] = [
  {
    id: 'newsprint-45',
    name: 'Newsprint 45 g/m²',
    basis: fromMemory,
    caliperM: to(65, 70, micro),
    grammageKgPerM2: to(0.04, 0.049),
    modulusPa: to(3, 4, giga),
    roughnessM: bothSides(to(2, 4, micro)),
    frictionRatio: to(0.4, 0.7),
    permeanceMPerPaS: to(1, 6, micro),
    tensionNPerM: to(150, 350),
    nipLoadNPerM: to(1000, 3500),
    speedMPerS: to(25, 42),
  },
  {
    id: 'lwc-55',
    name: 'Light-weight coated 55 g/m²',
    basis: fromMemory,
    caliperM: to(45, 55, micro),
    grammageKgPerM2: to(0.052, 0.058),
    modulusPa: to(5, 7, giga),
    roughnessM: bothSides(to(0.7, 1.5, micro)),
    frictionRatio: to(0.3, 0.45),
    permeanceMPerPaS: to(0.01, 0.1, micro),
    tensionNPerM: to(250, 450),
    nipLoadNPerM: to(1500, 4500),
    speedMPerS: to(25, 40),
  },
  {
    id: 'sc-55',
    name: 'Supercalendered 55 g/m²',
    basis: fromMemory,
    caliperM: to(45, 50, micro),
    grammageKgPerM2: to(0.052, 0.058),
    modulusPa: to(5, 6, giga),
    roughnessM: bothSides(to(0.8, 1.5, micro)),
    frictionRatio: to(0.3, 0.5),
    permeanceMPerPaS: to(0.02, 0.2, micro),
    tensionNPerM: to(250, 400),
    nipLoadNPerM: to(1500, 4500),
    speedMPerS: to(25, 42),
  },
  {
    id: 'woodfree-uncoated-80',
    name: 'Uncoated woodfree 80 g/m²',
    basis: fromMemory,
    caliperM: to(95, 105, micro),
    grammageKgPerM2: to(0.077, 0.083),
    modulusPa: to(4, 6, giga),
    roughnessM: bothSides(to(3, 5, micro)),
    frictionRatio: to(0.45, 0.65),
    permeanceMPerPaS: to(3, 10, micro),
    tensionNPerM: to(250, 500),
    nipLoadNPerM: to(1500, 4000),
    speedMPerS: to(20, 40),
  },
  {
    id: 'tissue-16',
    name: 'Tissue 16 g/m²',
    basis: fromMemory,
    caliperM: to(60, 150, micro),
    grammageKgPerM2: to(0.015, 0.017),
    modulusPa: to(0.02, 0.2, giga),
    roughnessM: bothSides(to(8, 20, micro)),
    frictionRatio: to(0.4, 0.7),
    permeanceMPerPaS: to(1e3, 1e4, micro),
    tensionNPerM: to(10, 50),
    nipLoadNPerM: to(50, 500),
    speedMPerS: to(20, 35),
  },
  {
    id: 'linerboard-160',
    name: 'Linerboard 160 g/m²',
    basis: fromMemory,
    caliperM: to(220, 260, micro),
    grammageKgPerM2: to(0.154, 0.166),
    modulusPa: to(4, 7, giga),
    roughnessM: bothSides(to(4, 9, micro)),
    frictionRatio: to(0.35, 0.6),
    permeanceMPerPaS: to(1, 5, micro),
    tensionNPerM: to(600, 1500),
    nipLoadNPerM: to(2000, 6000),
    speedMPerS: to(15, 40),
  },
  {
    id: 'pet-12',
    name: 'PET film 12 µm',
    basis: fromMemory,
    caliperM: to(11.6, 12.4, micro),
    grammageKgPerM2: to(0.0161, 0.0172),
    modulusPa: to(4, 5, giga),
    roughnessM: bothSides(to(0.02, 0.1, micro)),
    peakHeightM: to(0.3, 1, micro),
    frictionRatio: to(0.3, 0.6),
    permeanceMPerPaS: to(0, 0),
    tensionNPerM: to(50, 120),
    nipLoadNPerM: to(100, 500),
    speedMPerS: to(3, 12),
  },
  {
    id: 'bopp-20',
    name: 'BOPP film 20 µm',
    basis: fromMemory,
    caliperM: to(19.4, 20.6, micro),
    grammageKgPerM2: to(0.0176, 0.0186),
    modulusPa: to(1.8, 2.5, giga),
    roughnessM: bothSides(to(0.05, 0.3, micro)),
    peakHeightM: to(0.5, 2, micro),
    frictionRatio: to(0.15, 0.4),
    permeanceMPerPaS: to(0, 0),
    tensionNPerM: to(40, 150),
    nipLoadNPerM: to(100, 600),
    speedMPerS: to(4, 15),
  },
  {
    id: 'aluminium-7',
    name: 'Aluminium foil 7 µm',
    basis: fromMemory,
    caliperM: to(6.3, 7, micro),
    grammageKgPerM2: to(0.017, 0.0189),
    modulusPa: to(65, 70, giga),
    roughnessM: [to(0.2, 0.4, micro), to(0.5, 0.8, micro)],
    frictionRatio: to(0.3, 0.6),
    permeanceMPerPaS: to(0, 0),
    tensionNPerM: to(40, 150),
    nipLoadNPerM: to(100, 500),
    speedMPerS: to(3, 15),
  },
];
