import { readFileSync, unwatchFile, watchFile } from 'node:fs';
import type { Server } from 'node:https';
import type { Logger } from 'pino';
import { readTlsFiles, type TlsFiles } from '../settings/tls-files.js';

const warnBeforeMs = 14 * 86_400_000;

/**
 * Takes a renewed certificate into use within seconds of a change of its files, or at once on SIGHUP; connections that are open stay on the
 * one they began with. A pair that cannot be used is logged and the old one stays. Says daily when the one in use is about to expire.
 */
export function renewTls(parts: {
  readonly server: Server;
  readonly files: TlsFiles;
  readonly endsAtMs: number;
  /** Names that the certificate must hold. */
  readonly allowedHosts: readonly string[];
  readonly log: Logger;
  readonly now: () => number;
}): void {
  const { server, files, allowedHosts, log, now } = parts;
  let { endsAtMs } = parts;
  const renew = (): void => {
    try {
      const pair = readTlsFiles(files, {
        readFile: (path) => readFileSync(path, 'utf8'),
        nowMs: now(),
        allowedHosts,
      });
      server.setSecureContext({ cert: pair.cert, key: pair.key });
      endsAtMs = pair.endsAtMs;
      log.info({ validUntil: new Date(endsAtMs).toISOString() }, 'a certificate was taken into use');
    } catch (error) {
      log.error(
        { err: error, validUntil: new Date(endsAtMs).toISOString() },
        'the changed certificate cannot be used; the one before stays in use',
      );
    }
  };
  const warn = (): void => {
    if (endsAtMs - now() < warnBeforeMs)
      log.warn(
        { validUntil: new Date(endsAtMs).toISOString() },
        'the certificate expires soon; renew its files',
      );
  };
  // Polled, not watched: renewals replace files and links, which watchers of one file miss.
  const watched = [files.certFile, files.keyFile];
  for (const file of watched) watchFile(file, { interval: 2000, persistent: false }, renew);
  process.on('SIGHUP', renew);
  const daily = setInterval(warn, 86_400_000).unref();
  warn();
  server.once('close', () => {
    for (const file of watched) unwatchFile(file, renew);
    process.off('SIGHUP', renew);
    clearInterval(daily);
  });
}
