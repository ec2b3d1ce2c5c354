import type { TopicLevel } from '@edge-margin/plant';

/** Topic patterns merged level by level, so that the cost of a look-up does not grow with the number of patterns. */
export interface TopicTree<T> {
  readonly children: Map<string, TopicTree<T>>;
  /** What follows a level that may be any. */
  any: TopicTree<T> | undefined;
  /** Patterns that end here. */
  readonly ends: T[];
  /** Patterns that take whatever follows. */
  readonly rests: T[];
}

/** Merges patterns into a tree; each is found again as its `item`. */
export function topicTree<T>(
  patterns: readonly { readonly levels: readonly TopicLevel[]; readonly item: T }[],
): TopicTree<T> {
  const root = emptyTree<T>();
  for (const { levels, item } of patterns) {
    let node = root;
    for (const level of levels) {
      if (level.kind === 'rest') break;
      node = level.kind === 'text' ? childOf(node, level.text) : (node.any ??= emptyTree());
    }
    (levels.at(-1)?.kind === 'rest' ? node.rests : node.ends).push(item);
  }
  return root;
}

/**
 * The items of all patterns that fit a topic. Source: MQTT 5.0, 4.7: `a/#` fits `a` too; no wildcard fits a first level that begins with `$`.
 * @param levels the topic, split at `/`
 */
export function itemsFor<T>(tree: TopicTree<T>, levels: readonly string[]): readonly T[] {
  const items: T[] = [];
  collect(tree, levels, 0, items);
  return items;
}

function collect<T>(node: TopicTree<T>, levels: readonly string[], depth: number, items: T[]): void {
  const level = levels[depth];
  const wildcardsFit = depth > 0 || !(level ?? '').startsWith('$');
  if (wildcardsFit) items.push(...node.rests);
  if (level === undefined) {
    items.push(...node.ends);
    return;
  }
  const child = node.children.get(level);
  if (child !== undefined) collect(child, levels, depth + 1, items);
  if (node.any !== undefined && wildcardsFit) collect(node.any, levels, depth + 1, items);
}

function emptyTree<T>(): TopicTree<T> {
  return { children: new Map(), any: undefined, ends: [], rests: [] };
}

function childOf<T>(node: TopicTree<T>, text: string): TopicTree<T> {
  const child = node.children.get(text) ?? emptyTree<T>();
  node.children.set(text, child);
  return child;
}
