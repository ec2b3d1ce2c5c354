import { it } from 'vitest';
import { known } from '@edge-margin/units';
import { windRoll, measure, randomNumbers, missing, type TrueCell } from './rolls-for-tests.js';
const lift = [
  ['pet .5', 12e-6, 0.15, 5, 0.5e-3, 600],
  ['pet .2', 12e-6, 0.15, 5, 0.2e-3, 600],
  ['pet .05', 12e-6, 0.15, 5, 0.05e-3, 600],
  ['film 8 .5', 20e-6, 0.3, 8, 0.5e-3, 500],
  ['lwc .5 20', 50e-6, 0.8, 20, 0.5e-3, 300],
  ['lwc .5 30', 50e-6, 0.8, 30, 0.5e-3, 300],
  ['lwc .2 30', 50e-6, 0.8, 30, 0.2e-3, 300],
  ['wf .5 25 1.2', 100e-6, 1.2, 25, 0.5e-3, 300],
  ['np .5 40', 65e-6, 1.0, 40, 0.5e-3, 300],
  ['np .1 40', 65e-6, 1.0, 40, 0.1e-3, 300],
] as const;
const q = (a: number[], p: number) => a.slice().sort((x, y) => x - y)[Math.floor(p * (a.length - 1))]!;
it('lift', () => {
  for (const [name, cal, d0, v, noise, secs] of lift) for (const fixedW of [undefined] as const) {
    const start = Math.floor(secs * 0.6) * v, half: number[] = [], ended: number[] = [], near: number[] = [], back: number[] = [], sig: number[] = []; let worst = 0, miss = 0, pre = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const cells = windRoll({ caliperM: cal, airM: (L) => (L >= start && L < start + 500 ? 50e-6 : 2e-6), fromDiameterM: d0, speedMPerS: () => v, seconds: secs, noiseM: noise }, seed);
      const steps = measure(cells, { caliperM: cal, caliperUncertaintyRatio: 0.03, gaugeUncertaintyM: noise, lengthUncertaintyRatio: 0.002, filmToSeeM: 2e-6 });
      const at = (from: number, ok: (a: number, i: number) => boolean) => { for (let i = 0; i < cells.length; i++) { const m = steps[i]!.measured; if (cells[i]!.lengthM > from && m.airThicknessM.kind === 'known' && ok(m.airThicknessM.value, i)) return cells[i]!.lengthM - from; } return Infinity; };
      for (let i=40;i<cells.length && cells[i]!.lengthM<=start;i++) { const c=steps[i]!.measured.changeSinceM; if (c.kind==='known' && c.value>4*c.uncertainty) {pre++;break;} }
      half.push(at(start, (a, i) => a > 26e-6 && steps[i]!.measured.contributions!.noiseM < 12e-6));
      near.push(at(start, (a, i) => Math.abs(a - 50e-6) < 5e-6 && steps[i]!.measured.contributions!.noiseM < 5e-6));
      sig.push(at(start, (_, i) => { const c = steps[i]!.measured.changeSinceM; return c.kind === 'known' && c.value > 4 * c.uncertainty; }));
      back.push(at(start + 500, (a, i) => a < 10e-6 && steps[i]!.measured.contributions!.noiseM < 5e-6));
      const e = steps.findIndex((s, i) => s.stretchEnded && cells[i]!.lengthM > start); ended.push(e < 0 ? Infinity : cells[e]!.lengthM - start);
    }
    const f = (a: number[]) => [0.5, 0.95, 1].map((p) => q(a, p).toFixed(0)).join('/');
    console.log('LIFT', name.padEnd(14), 'ended', f(ended), 'signif change', f(sig), 'pre', pre, 'half', f(half), 'within 5um', f(near), 'back', f(back));
  }
}, 600000);
it('upsets', () => {
  const base = { caliperM: 12e-6, airM: () => 1.4e-6, fromDiameterM: 0.15, speedMPerS: () => 5, seconds: 800, noiseM: 0.3e-3 };
  const lw = { caliperM: 50e-6, airM: () => 4e-6, fromDiameterM: 0.5, speedMPerS: () => 30, seconds: 500, noiseM: 0.3e-3 };
  for (const [bn, b] of [['pet', base], ['lwc', lw]] as const) {
  const g = (seed: number) => randomNumbers(seed + 777);
  const kinds: Record<string, (seed: number) => (d: number, s: number) => any> = {
    none: () => (d) => known(d),
    'outl10': (s) => { const r = g(s); return (d) => known(r.uniform() < 0.1 ? d + 0.05 * r.normal() : d); },
    'outl20': (s) => { const r = g(s); return (d) => known(r.uniform() < 0.2 ? d + 0.05 * r.normal() : d); },
    'outl10 one-sided 2mm': (s) => { const r = g(s); return (d) => known(r.uniform() < 0.1 ? d + 0.002 : d); },
    'drop20+zeros': (s) => { const r = g(s); return (d) => { const u = r.uniform(); return u < 0.2 ? missing : u < 0.25 ? known(0) : u < 0.3 ? known(1e-6) : known(d); }; },
    'step+3mm@400': () => (d, t) => known(t >= 400 ? d + 0.003 : d),
    'step-1mm@400': () => (d, t) => known(t >= 400 ? d - 0.001 : d),
    'step.5mm@400': () => (d, t) => known(t >= 400 ? d + 0.0005 : d),
    'step.3mm@400': () => (d, t) => known(t >= 400 ? d + 0.0003 : d),
    'frozen 400-500': (() => () => { let f = 0; return (d: number, t: number) => { if (t === 400) f = d; return known(t >= 400 && t < 500 ? f : d); }; }),
    'zero 400-430': () => (d, t) => known(t >= 400 && t < 430 ? 0.02 : d),
    'quant1mm': () => (d) => known(Math.round(d * 1000) / 1000),
    'sine .6mm P30': () => (d, t) => known(d + 0.0006 * Math.sin(t * 2 * Math.PI / 30)),
    'sine .6mm P100': () => (d, t) => known(d + 0.0006 * Math.sin(t * 2 * Math.PI / 100)),
    'noise x4': (s) => { const r = g(s); return (d) => known(d + 0.00116 * r.normal()); },
  };
  for (const [name, make] of Object.entries(kinds)) {
    let worst = 0, worstZ = 0, concl = 0, n = 0, ends = 0, refused = 0, unk = 0, in2 = 0;
    const maxErr: number[] = [];
    for (let seed = 1; seed <= 40; seed++) {
      const cells = windRoll({ ...b, gauge: make(seed) }, seed);
      const steps = measure(cells, { caliperM: b.caliperM, caliperUncertaintyRatio: 0.03, gaugeUncertaintyM: 0.3e-3, lengthUncertaintyRatio: 0.002, filmToSeeM: b.airM() });
      ends += steps.filter((s) => s.stretchEnded).length; refused += steps.at(-1)!.state.notUsedCount;
      let w = 0;
      for (let i = 150; i < cells.length; i++) {
        const m = steps[i]!.measured; n++;
        if (m.airThicknessM.kind === 'unknown') { unk++; continue; }
        const e = Math.abs(m.airThicknessM.value - b.airM()), z = e / m.contributions!.noiseM;
        if (z <= 2) in2++;
        worstZ = Math.max(worstZ, z);
        if (m.verdict === 'conclusive') { concl++; w = Math.max(w, e); }
      }
      maxErr.push(w);
    }
    console.log('UPSET', bn, name.padEnd(22), 'worst err when conclusive um', (q(maxErr, 0.5) * 1e6).toFixed(2), (q(maxErr, 1) * 1e6).toFixed(2), 'worst z', worstZ.toFixed(1), 'in2', (in2/(n-unk)*100).toFixed(1), 'conclusive%', (concl / n * 100).toFixed(0), 'unk%', (unk / n * 100).toFixed(0), 'ends', ends / 40, 'refused', refused / 40);
  }}
}, 600000);
