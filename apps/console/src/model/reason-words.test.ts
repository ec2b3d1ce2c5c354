import { display, reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { reasonWords } from './reason-words.js';

const none = () => '';

describe('a reason with an instant', () => {
  it('is told in the reader’s own time', () => {
    const because = reason('no-reading-since', 'no diameter since 02:31:05 UTC', { sinceMs: 5 });
    expect(reasonWords(because, () => '03:31')).toBe('no diameter since 03:31');
  });

  it('stays as it is without one', () => {
    expect(reasonWords(reason('x', 'no roll since 02:31:05 UTC'), () => '03:31')).toBe(
      'no roll since 02:31:05 UTC',
    );
    expect(reasonWords(reason('x', 'no roll since 02:31:05 UTC', { sinceMs: Number.NaN }), () => '')).toBe(
      'no roll since 02:31:05 UTC',
    );
  });
});

describe('a reason of the air film at a plant that prefers US units', () => {
  // 1.3679 um / 25.4 = 53.85 uin, 1500 m/min / 0.3048 = 4921 ft/min, 0.83 m / 0.0254 = 32.7 in, by hand.
  it('tells its figures in them, from the parameters and not from the rounded text', () => {
    const film = reason(
      'nip-film',
      'the nip lets in a film of 1.37 µm, 1.4 times the boundary film; tension does not thin it',
      { filmM: 1.3679e-6, boundaryFilmM: 0.98e-6, boundaryRatio: 1.4 },
    );
    expect(reasonWords(film, none, 'us')).toBe(
      'the nip lets in a film of 54 µin, 1.4 times the boundary film; tension does not thin it',
    );
    const rough = reason(
      'rough',
      'no air problem at any speed up to 1500 m/min: the wraps hold each other up to a film of 1.20 µm, and the film is 0.60 µm',
      { filmM: 0.6e-6, holdingFilmM: 1.2e-6, speedLimitMPerS: 25, factor: 2 },
    );
    expect(reasonWords(rough, none, 'us')).toBe(
      'no air problem at any speed up to 4921 ft/min: the wraps hold each other up to a film of 47 µin, and the film is 24 µin',
    );
  });

  it.each([
    ['diameter', 0.83],
    ['length', 5200],
    ['speed', 10.3],
    ['nipLoad', 3000],
    ['tension', 350],
    ['film', 1.3679e-6],
    ['acceleration', 3.2],
  ] as const)('turns a %s', (kind, si) => {
    const words = (system: 'metric' | 'us') => {
      const { number, unit } = display(kind, si, system);
      return `of ${number} ${unit}, so`;
    };
    expect(reasonWords(reason('x', words('metric'), { si }), none, 'us')).toBe(words('us'));
    expect(reasonWords(reason('x', words('metric'), { si }), none, 'metric')).toBe(words('metric'));
  });

  it('leaves what no parameter stands behind, and what is not a figure of a quantity', () => {
    const text = 'within 5 mm, 3 minutes, 12 m³ or 4 m/min²; 830 mmHg';
    expect(reasonWords(reason('x', text, { other: 12, m: 3 }), none, 'us')).toBe(text);
    expect(reasonWords(reason('x', 'from 830 mm'), none, 'us')).toBe('from 830 mm');
  });

  it('leaves US figures alone', () => {
    const text = 'wraps free to move from 32.7 in';
    expect(reasonWords(reason('x', text, { diameterM: 0.83 }), none, 'us')).toBe(text);
  });
});
