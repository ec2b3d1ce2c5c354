import {
  type Alias,
  type Document,
  type Pair,
  type YAMLMap,
  isAlias,
  isCollection,
  isMap,
  isNode,
  isScalar,
  isSeq,
} from 'yaml';
import { type Finding, type Path, error } from './problem.js';

/** What stands where in a YAML document. */
interface YamlPlaces {
  /** Keys that stand twice in one map, and references to nothing. */
  readonly findings: readonly Finding[];
  /** How many references (`*name`) there are. */
  readonly aliasCount: number;
  /** Offset in the text of what a finding speaks of, or of the nearest thing around it that is there. */
  readonly offsetOf: (finding: Finding) => number;
}

/** Walks once through a document, without following references, and remembers what stands where. */
export function yamlPlaces(document: Document): YamlPlaces {
  const findings: Finding[] = [];
  const pairsOf = new Map<YAMLMap, Map<string, Pair>>();
  const anchors = new Map<string, unknown>();
  const targets = new Map<Alias, unknown>();

  const visit = (node: unknown, path: Path): void => {
    if ((isScalar(node) || isCollection(node)) && node.anchor !== undefined) anchors.set(node.anchor, node);
    if (isAlias(node)) visitAlias(node, path);
    if (isSeq(node)) for (const [index, item] of node.items.entries()) visit(item, [...path, index]);
    if (isMap(node)) visitMap(node, path);
  };
  const visitAlias = (alias: Alias, path: Path): void => {
    const target = anchors.get(alias.source);
    if (target === undefined)
      findings.push(
        error(path, `*${alias.source}`, `a reference to something marked &${alias.source} above`),
      );
    targets.set(alias, target);
  };
  const visitMap = (map: YAMLMap, path: Path): void => {
    const pairs = new Map<string, Pair>();
    pairsOf.set(map, pairs);
    for (const pair of map.items) {
      const key = keyText(pair.key);
      const at = [...path, key];
      if (pairs.has(key)) {
        const offset = startOf(pair.key) ?? 0;
        findings.push({ ...error(at, `${key} again`, 'each key once in a map'), at: 'key', offset });
      }
      // The last of equal keys is the one that counts, and the one to point at.
      pairs.set(key, pair);
      visit(pair.value, at);
    }
  };
  visit(document.contents, []);

  const childOf = (node: unknown, step: string | number): Pick<Pair, 'key' | 'value'> | undefined => {
    const real = isAlias(node) ? targets.get(node) : node;
    if (isMap(real)) return pairsOf.get(real)?.get(String(step));
    return isSeq(real) && typeof step === 'number' ? { key: undefined, value: real.items[step] } : undefined;
  };
  const offsetOf = ({ path, at, offset: told }: Finding): number => {
    if (told !== undefined) return told;
    let node: unknown = document.contents;
    let offset = startOf(node) ?? 0;
    for (const [depth, step] of path.entries()) {
      const child = childOf(node, step);
      if (child === undefined) return offset;
      const key = startOf(child.key);
      const wanted = at === 'key' && depth === path.length - 1 ? key : startOf(child.value);
      offset = wanted ?? key ?? offset;
      node = child.value;
    }
    return offset;
  };
  return { findings, aliasCount: targets.size, offsetOf };
}

const keyText = (key: unknown): string => String(isScalar(key) ? key.value : key);
const startOf = (node: unknown): number | undefined => (isNode(node) ? node.range?.[0] : undefined);
