import { type Browser, chromium } from 'playwright-core';
import { provide } from './provide.mjs';

/** A real Chromium without a window. */
export async function startChromium(): Promise<Browser> {
  const provided = provide('chromium');
  if (provided.way !== 'program') throw new Error('Chromium is used where it is installed');
  const quiet = [
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ];
  return chromium.launch({
    executablePath: provided.path,
    args: process.getuid?.() === 0 ? ['--no-sandbox', ...quiet] : quiet,
  });
}
