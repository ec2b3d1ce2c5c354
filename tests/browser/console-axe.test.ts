import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults, RunOptions } from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { alarmFixture } from '../../apps/console/src/fixtures/station-fixtures.js';
import { reason } from '../../libs/units/src/index.js';
import { openPage, startBrowser } from './console-browser.js';
import { type FakeApi, type FakeFloor, startFakeApi } from './console-fake-api.js';
import { gapsFixture, healthFixture, keepingFixture, notUsedFixture } from './console-fake-health.js';
import { inventedFloor, staleKey } from './console-floor.js';

// The outside check: axe-core (Deque Systems, MPL-2.0), every rule that it turns on by itself: WCAG 2.0 to 2.2, A and AA, and its best practices.
const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

/** Rules whose answer depends on size and colour; every other rule is about what is in the page, and that is the same in each look. */
const ofLook = ['color-contrast', 'target-size', 'scrollable-region-focusable', 'link-in-text-block'];
const looks = [
  { theme: 'light', width: 1920, height: 1080, rules: null },
  { theme: 'light', width: 320, height: 640, rules: ofLook },
  { theme: 'dark', width: 320, height: 640, rules: null },
  { theme: 'dark', width: 1920, height: 1080, rules: ofLook },
] as const;

/** What axe finds on the page as it stands, in each look. */
async function violations(page: Page): Promise<readonly string[]> {
  await page.evaluate(axeSource);
  const found: string[] = [];
  for (const { height, rules, theme, width } of looks) {
    await page.setViewportSize({ width, height });
    await page.evaluate((name) => (document.documentElement.dataset['theme'] = name), theme);
    await page.waitForFunction((wide) => innerWidth === wide, width);
    const results = await page.evaluate((only) => {
      const { axe } = globalThis as unknown as { axe: { run: (options: RunOptions) => Promise<AxeResults> } };
      return axe.run(only === null ? {} : { runOnly: { type: 'rule', values: [...only] } });
    }, rules);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    if (over > 0)
      found.push(`${theme} ${width}: runs ${over} pixels out of the page sideways (WCAG 2.2, 1.4.10)`);
    const passed = results.passes.map(({ id }) => id);
    expect(passed).toContain('color-contrast');
    if (rules === null) expect(passed.length).toBeGreaterThan(15);
    for (const { id, nodes } of results.violations)
      for (const node of nodes)
        found.push(`${theme} ${width}: ${id}: ${node.html.slice(0, 160)} ${node.failureSummary ?? ''}`);
  }
  return found;
}

const ofService = alarmFixture({
  alarmKey: 'service.site.disk',
  winderId: '',
  stationId: '',
  mechanism: 'service',
  because: reason('disk-full', 'The disk is nearly full'),
  response: 'Make room on the disk.',
});
const audit = [
  {
    id: 402,
    atMs: 2,
    actor: 'Ada Admin',
    what: 'person-changed',
    subject: 'Kim',
    from: '192.0.2.7',
    detail: 'role',
  },
  ...Array.from({ length: 401 }, (_, at) => ({
    ...{
      id: 401 - at,
      atMs: 1,
      actor: null,
      what: 'sign-in-refused',
      subject: null,
      from: null,
      detail: null,
    },
  })),
];

async function scan(
  floor: Omit<FakeFloor, 'winders'>,
  paths: readonly (readonly [string, ((page: Page, api: FakeApi) => Promise<unknown>)?])[],
): Promise<void> {
  const api = await startFakeApi({ winders: inventedFloor(), stale: [staleKey], ...floor });
  for (const [path, before] of paths) {
    const { page } = await openPage(browser, api.url + path);
    await before?.(page, api);
    expect(await violations(page), path).toEqual([]);
    await page.context().close();
  }
  await api.stop();
}
const seen = (words: string) => (page: Page) => page.getByText(words).first().waitFor();

describe('axe finds nothing, in light and dark, at 1920 and 320 pixels', () => {
  it('on the pages of a shared screen, with the question who acts open and refused', async () => {
    await scan({}, [
      ['/'],
      ['/winders/w5', (page) => page.locator('em-trend-plot canvas').first().waitFor()],
      ['/winders/w7'],
      ['/alarms'],
      [
        '/alarms',
        async (page) => {
          await page.getByRole('button', { name: 'acknowledge: Winder 2' }).click();
          await page.getByRole('radio', { name: 'Kim Example' }).waitFor();
          await page.getByRole('button', { name: 'acknowledge', exact: true }).click();
          await page.getByText('Choose who acts').waitFor();
        },
      ],
      [
        '/elsewhere',
        async (page) => {
          await page.getByRole('button', { name: 'sign in' }).click();
          await page.keyboard.press('Enter');
          await page.getByText('This is needed').first().waitFor();
        },
      ],
    ]);
  });

  it('on the pages of the administrator', async () => {
    await scan({ door: { signedInAs: 'Ada Admin', audit, demo: true } }, [
      [
        '/people',
        async (page) => {
          await page.getByRole('button', { name: 'new password for Kim Example' }).click();
          await page.getByRole('button', { name: 'add this person' }).click();
          await page.getByText('This is needed').first().waitFor();
        },
      ],
      [
        '/keys',
        async (page) => {
          await page.getByLabel('What it is for').fill('historian');
          await page.getByLabel('look at winders').check();
          await page.getByRole('button', { name: 'make this key' }).click();
          await page.getByText('It is shown this once').waitFor();
        },
      ],
      ['/audit', seen('sign in refused')],
      [
        '/audit',
        async (page) => {
          await page.getByRole('button', { name: 'older entries' }).click();
          await page.getByText('page 2').waitFor();
        },
      ],
      ['/alarms', seen('not as administrator')],
      ['/account', seen('PIN')],
    ]);
  });

  it('on trends that are drawn from windows', async () => {
    await scan({ windowed: true }, [['/winders/w5', seen('The line is the mean of every')]]);
  });

  it('on the page of the service’s own health', async () => {
    await scan(
      {
        door: { signedInAs: 'Mo Maintenance' },
        notUsed: notUsedFixture(),
        gaps: gapsFixture(),
        keeping: keepingFixture({ heldBack: reason('clock-ahead', 'this machine’s clock is 2 days ahead') }),
        health: healthFixture({ alarms: [ofService] }),
        serviceAlarms: [ofService],
      },
      [['/service', seen('KEEP_RAW_SERIES_DAYS')]],
    );
  });

  it('on the pages before anybody may look', async () => {
    await scan({ door: { openViewing: false, people: [], needsFirstAdministrator: true } }, [
      ['/', seen('Sign in')],
      ['/first-administrator#word=once-only', seen('A password')],
    ]);
  });
});
