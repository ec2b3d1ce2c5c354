import { isIP } from 'node:net';

/** A sentence without what would tell a stranger where things are: host names with a port, addresses, URLs and paths. */
export function withoutPlaces(text: string): string {
  return text
    .replace(/\b[a-z]+:\/\/\S+/gi, '(address)')
    .replace(/\b(?:\d{1,3}\.){3}\d{1,3}\b(?::\d+)?/g, '(address)')
    .replace(/\[?((?:[0-9a-f]{0,4}:){2,}[0-9a-f]{0,4})\]?(?::\d+)?/gi, (found, address: string) =>
      isIP(address) === 0 ? found : '(address)',
    )
    .replace(/\b[a-z][a-z0-9.-]*:\d{2,5}\b/gi, '(address)')
    .replace(/(?<=^|[\s"'(])\/[\w.@-]+(?:\/[\w.@-]+)*\/?/g, '(path)');
}
