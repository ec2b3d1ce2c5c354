import type { z } from 'zod';
import { nearestWord } from '@edge-margin/units';
import { assessRequestSchema } from './assess-request.js';

/** What is wrong with an operating point, one line a problem: field, value, what is expected. */
export function requestProblems(request: unknown, error: z.ZodError): readonly string[] {
  return error.issues.flatMap((issue) => problemsOf(request, [], issue));
}

function problemsOf(
  request: unknown,
  around: readonly PropertyKey[],
  inner: z.core.$ZodIssue,
): readonly string[] {
  const issue = { ...inner, path: [...around, ...inner.path] };
  if (issue.code === 'unrecognized_keys')
    return issue.keys.map((key) => unknownKey(request, issue.path, key));
  const found = valueAt(request, issue.path);
  if (issue.code === 'invalid_union') {
    const meant = formMeant(issue.errors, found);
    if (meant !== undefined) return meant.flatMap((each) => problemsOf(request, issue.path, each));
  }
  return [
    `${pathInWords(issue.path)}: ${found === undefined ? 'missing' : `got ${JSON.stringify(found)}`}, ${expected(issue)}`,
  ];
}

/** Of several forms of an object the one that has the most of the keys given; undefined where that does not tell them apart. */
function formMeant(
  forms: readonly (readonly z.core.$ZodIssue[])[],
  found: unknown,
): readonly z.core.$ZodIssue[] | undefined {
  if (typeof found !== 'object' || found === null) return undefined;
  const foreign = (issues: readonly z.core.$ZodIssue[]): number =>
    issues.reduce((sum, each) => sum + (each.code === 'unrecognized_keys' ? each.keys.length : 0), 0);
  const ofObjects = forms.filter(
    (issues) => !issues.some(({ path, code }) => path.length === 0 && code === 'invalid_type'),
  );
  const fewest = Math.min(...ofObjects.map(foreign));
  const nearest = ofObjects.filter((issues) => foreign(issues) === fewest);
  return nearest.length === 1 ? nearest[0] : undefined;
}

function expected(issue: z.core.$ZodIssue): string {
  return issue.code === 'invalid_type' && issue.expected === 'object'
    ? 'an object is expected'
    : issue.message;
}

const { shape } = assessRequestSchema;

/** Keys that a request may have anywhere: what a mistyped one is compared with. */
const knownKeys = [
  shape,
  shape.web.shape,
  shape.nip.unwrap().shape,
  shape.running.shape,
  shape.nip.unwrap().shape.bending.unwrap().shape,
  shape.exchangeFor.unwrap().shape,
  { viscosityPaS: 0, pressurePa: 0, meanFreePathM: 0, temperatureC: 0, relativeHumidityRatio: 0 },
  shape.nips.unwrap().element.shape,
  shape.nipShares.unwrap().shape,
  shape.uncertainties.unwrap().shape,
  shape.remedyFor.unwrap().shape,
  shape.remedyFor.unwrap().shape.limits.unwrap().shape,
].flatMap(Object.keys);

function unknownKey(request: unknown, path: readonly PropertyKey[], key: string): string {
  const nearest = nearestWord(key, knownKeys);
  const hint = nearest === undefined || nearest === key ? '' : `; the nearest is ${nearest}`;
  return `${pathInWords([...path, key])}: got ${JSON.stringify(valueAt(request, [...path, key]))}, a known key is expected${hint}`;
}

function pathInWords(path: readonly PropertyKey[]): string {
  return path.length === 0 ? '(operating point)' : path.map(String).join('.');
}

function valueAt(value: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (inside, key) =>
      typeof inside === 'object' && inside !== null
        ? (inside as Record<PropertyKey, unknown>)[key]
        : undefined,
    value,
  );
}
