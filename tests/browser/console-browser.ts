import { type Browser, type BrowserContextOptions, type Page, chromium } from 'playwright-core';

/** Real Chromium, without its own traffic. */
export function startBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env['CHROMIUM_PATH'] ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

export interface WatchedPage {
  readonly page: Page;
  /** Errors of scripts, refused inline code, and everything written to the console as an error. */
  readonly troubles: string[];
}

/** A page in UTC whose every trouble is noted. */
export async function openPage(
  browser: Browser,
  url: string,
  options: BrowserContextOptions = {},
): Promise<WatchedPage> {
  const context = await browser.newContext({
    viewport: { width: 1920, height: 1080 },
    timezoneId: 'UTC',
    locale: 'en-GB',
    colorScheme: 'light',
    ...options,
  });
  const page = await context.newPage();
  const troubles: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || /content security policy/i.test(message.text()))
      troubles.push(message.text());
  });
  page.on('pageerror', (error) => troubles.push(String(error)));
  await page.goto(url);
  await page.waitForFunction(
    () => !/^$|Asking the service/.test(document.querySelector('main')?.textContent ?? ''),
  );
  return { page, troubles };
}
