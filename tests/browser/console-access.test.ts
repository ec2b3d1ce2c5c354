import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openPage, startBrowser } from './console-browser.js';
import { type FakeApi, startFakeApi } from './console-fake-api.js';
import { inventedFloor, staleKey } from './console-floor.js';

let api: FakeApi;
let browser: Browser;
beforeAll(async () => {
  api = await startFakeApi({ winders: inventedFloor(), stale: [staleKey] });
  browser = await startBrowser();
});
afterAll(async () => {
  await browser.close();
  await api.stop();
});

const paths = ['/', '/winders/w5', '/winders/w8/b', '/winders/w7', '/winders/w4', '/alarms'];

async function onPage<T>(path: string, work: (page: Page) => Promise<T>, options = {}): Promise<T> {
  const { page } = await openPage(browser, api.url + path, options);
  await page.waitForTimeout(300);
  try {
    return await work(page);
  } finally {
    await page.context().close();
  }
}

// WCAG 2.2 (W3C Recommendation): success criteria by number; relative luminance and contrast ratio as defined there.
describe('names and roles (WCAG 4.1.2)', () => {
  it.each(paths)('give every control, picture and region of %s a name', async (path) => {
    const nameless = await onPage(path, async (page) => {
      const session = await page.context().newCDPSession(page);
      const { nodes } = (await session.send('Accessibility.getFullAXTree')) as {
        nodes: readonly {
          ignored: boolean;
          role?: { value: string };
          name?: { value: string };
          properties?: readonly { name: string; value: { value: unknown } }[];
        }[];
      };
      const needing = [
        'button',
        'link',
        'radio',
        'textbox',
        'meter',
        'img',
        'image',
        'region',
        'dialog',
        'navigation',
        'heading',
        'article',
      ];
      return nodes
        .filter(
          (node) =>
            !node.ignored &&
            needing.includes(node.role?.value ?? '') &&
            (node.name?.value ?? '').trim() === '',
        )
        .map((node) => node.role?.value);
    });
    expect(nameless).toEqual([]);
  });

  it('make the gauge a meter within 0 to 100 whose sentence holds the whole finding', async () => {
    await onPage('/winders/w2', async (page) => {
      const meter = page.getByRole('meter', { name: 'Chance of a rough edge' });
      const now = Number(await meter.getAttribute('aria-valuenow'));
      expect(now).toBeGreaterThan(0);
      expect(now).toBeLessThanOrEqual(100);
      expect(await meter.getAttribute('aria-valuetext')).toMatch(
        /percent now at 884 mm, .* at set end, limit reached at 836/,
      );
    });
  });

  it('list the winders as an ordered list whose links tell the state', async () => {
    await onPage('/', async (page) => {
      const list = page.getByRole('list', { name: 'Winders in floor order' });
      expect(await list.getByRole('listitem').count()).toBe(12);
      expect(await list.getByRole('link').nth(4).getAttribute('aria-label')).toBe(
        'Winder 5: wraps free to move from 830 mm, act by 14:36, medium priority',
      );
    });
  });

  it('have one first-level heading, a main part and no level left out', async () => {
    for (const path of paths) {
      await onPage(path, async (page) => {
        expect(await page.locator('h1').count(), path).toBe(1);
        expect(await page.locator('main').count(), path).toBe(1);
        const levels = await page
          .locator('h1, h2, h3')
          .evaluateAll((headings) => headings.map((heading) => Number(heading.tagName.slice(1))));
        expect(Math.max(...levels) - 1, path).toBeLessThanOrEqual(new Set(levels).size);
      });
    }
  });

  it('have no two elements with one id', async () => {
    for (const path of paths) {
      const twice = await onPage(path, (page) =>
        page.evaluate(() => {
          const ids = [...document.querySelectorAll('[id]')].map((element) => element.id);
          return ids.filter((id, at) => ids.indexOf(id) !== at);
        }),
      );
      expect(twice, path).toEqual([]);
    }
  });

  it('never make the moving numbers a live region (4.1.3)', async () => {
    await onPage('/winders/w5', async (page) => {
      const live = await page.locator('[role=status], [role=alert], [aria-live]').allInnerTexts();
      expect(live.join(' ')).not.toMatch(/586|830/);
      expect(live.join(' ')).toContain(
        'Winder 5: wraps free to move before the end of the set, medium priority',
      );
    });
  });
});

describe('the keyboard (WCAG 2.1.1, 2.4.7)', () => {
  it('goes from number to number in floor order, each with a visible focus', async () => {
    await onPage('/', async (page) => {
      await page.locator('.floor .num').first().focus();
      for (const mark of ['1', '2', '3']) {
        expect(await page.evaluate(() => document.activeElement?.textContent)).toBe(mark);
        await page.keyboard.press('Tab');
        const outline = await page.evaluate(
          () => getComputedStyle(document.activeElement ?? document.body).outlineWidth,
        );
        expect(outline).toBe('4px');
      }
    });
  });

  it('finds the focused word above the standing line, never below it (2.4.11)', async () => {
    await onPage('/winders/w5', async (page) => {
      const hidden: string[] = [];
      for (let presses = 0; presses < 25; presses += 1) {
        await page.keyboard.press('Tab');
        const place = await page.evaluate(() => {
          const focused = document.activeElement;
          const foot = document.querySelector('.foot');
          if (focused === null || foot === null || foot.contains(focused) || focused === document.body)
            return null;
          return {
            top: focused.getBoundingClientRect().top,
            foot: foot.getBoundingClientRect().top,
            name: focused.textContent ?? '',
          };
        });
        if (place !== null && place.top >= place.foot) hidden.push(place.name);
      }
      expect(hidden).toEqual([]);
    });
  });
});

describe('sizes', () => {
  it.each(paths)(
    '%s: nothing runs out of the page sideways from 1920 down to 320 pixels (WCAG 1.4.10)',
    async (path) => {
      await onPage(path, async (page) => {
        for (const [width, height] of [
          [1920, 1080],
          [1366, 768],
          [1024, 768],
          [390, 844],
          [320, 640],
        ] as const) {
          await page.setViewportSize({ width, height });
          await page.waitForTimeout(200);
          const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
          expect(over, `${width} pixels`).toBeLessThanOrEqual(0);
        }
      });
    },
  );

  it('keeps every word when the text is twice as large (WCAG 1.4.4)', async () => {
    for (const path of paths) {
      await onPage(path, async (page) => {
        await page.evaluate(() => (document.documentElement.style.fontSize = '200%'));
        await page.waitForTimeout(300);
        expect(
          await page.evaluate(() => document.documentElement.scrollWidth - innerWidth),
          path,
        ).toBeLessThanOrEqual(0);
        const cut = await page.evaluate(() =>
          [...document.querySelectorAll('h1, h2, p, dd, .plate, button, a')]
            .filter(
              (element) =>
                !element.classList.contains('unseen') &&
                element.scrollWidth > element.clientWidth + 1 &&
                getComputedStyle(element).display !== 'inline',
            )
            .map((element) => element.textContent),
        );
        expect(cut, path).toEqual([]);
      });
    }
  });

  it('puts state and act by into the top third of a wall screen and everything to act on above the standing line', async () => {
    for (const path of ['/winders/w5', '/winders/w2', '/winders/w8/b']) {
      await onPage(path, async (page) => {
        const bottom = (selector: string) =>
          page
            .locator(selector)
            .first()
            .evaluate((element) => element.getBoundingClientRect().bottom);
        expect(await bottom('.when'), path).toBeLessThanOrEqual(390);
        const foot = await page.locator('.foot').evaluate((element) => element.getBoundingClientRect().top);
        expect(await bottom('.alarm'), path).toBeLessThanOrEqual(foot);
        expect(await bottom('.in-hand'), path).toBeLessThanOrEqual(foot);
      });
    }
  });

  it('keeps the alarm above the standing line where what to do takes two lines', async () => {
    const response = 'Lower the speed, or raise the nip load within the rated limits, and mark this set.';
    const winders = inventedFloor().map((winder) => ({
      ...winder,
      stations: winder.stations.map((station) => ({
        ...station,
        assessment: station.assessment && { ...station.assessment, remedy: null },
        alarms: station.alarms.map((alarm) => ({ ...alarm, response })),
      })),
    }));
    const own = await startFakeApi({ winders });
    const { page } = await openPage(browser, `${own.url}/winders/w5`);
    for (const [width, height] of [
      [1920, 1080],
      [1366, 768],
      [1080, 608],
    ] as const) {
      await page.setViewportSize({ width, height });
      const gap = () =>
        page.evaluate(() => {
          const place = (selector: string) => document.querySelector(selector)?.getBoundingClientRect();
          const room = (place('.foot')?.top ?? 0) - (place('.alarm')?.bottom ?? 0);
          // The drawing gives way: its last line of words ends above the alarm.
          const words = [...document.querySelectorAll('.gauge svg text')];
          const lowest = Math.max(...words.map((word) => word.getBoundingClientRect().bottom));
          return { room, over: lowest - (place('.low-part')?.top ?? 0) };
        });
      await expect.poll(async () => (await gap()).room).toBeGreaterThanOrEqual(0);
      await expect.poll(async () => (await gap()).over).toBeLessThanOrEqual(6);
    }
    await page.context().close();
    await own.stop();
  });

  it('sets the words of the wall screen in the heights that are read from across the hall', async () => {
    // Cap height 0.716 em of the face named in the style sheet; 0.277 mm a pixel on a 24 inch screen of 1920 x 1080 (own measurement).
    await onPage('/winders/w5', async (page) => {
      const size = (selector: string) =>
        page
          .locator(selector)
          .first()
          .evaluate((element) => Number.parseFloat(getComputedStyle(element).fontSize));
      expect(await size('.state')).toBe(112);
      expect(await size('.when b')).toBe(112);
      expect(await size('.do-words')).toBe(80);
      expect(await size('.because-words')).toBe(72);
      expect(await size('.who h1')).toBe(72);
      expect(await size('.gauge-number b')).toBe(88);
    });
  });

  it('makes what is pressed large enough for gloves: 15 mm (WCAG 2.5.8 asks for 24 px)', async () => {
    await onPage('/winders/w5', async (page) => {
      expect(
        (await page.getByRole('button', { name: /^acknowledge/ }).boundingBox())?.height,
      ).toBeGreaterThanOrEqual(56);
    });
    await onPage(
      '/winders/w5',
      async (page) => {
        expect(
          (await page.getByRole('button', { name: /^acknowledge/ }).boundingBox())?.height,
        ).toBeGreaterThanOrEqual(92);
        for (const box of await page.locator('.foot a, .foot button, summary').all()) {
          expect((await box.boundingBox())?.height).toBeGreaterThanOrEqual(24);
        }
      },
      { viewport: { width: 390, height: 844 } },
    );
  });
});

describe('contrast (WCAG 1.4.3, 1.4.11)', () => {
  it.each(['light', 'dark'] as const)('%s: words reach 4.5, needed lines 3', async (colorScheme) => {
    const ratio = await onPage(
      '/',
      (page) =>
        page.evaluate(() => {
          const style = getComputedStyle(document.documentElement);
          const luminance = (name: string): number => {
            const short = style.getPropertyValue(name).trim();
            const hex = short.length === 4 ? short.replace(/[0-9a-f]/gi, '$&$&') : short;
            const [r, g, b] = [1, 3, 5].map((at) => {
              const c = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
              return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
            });
            return 0.2126 * (r ?? 0) + 0.7152 * (g ?? 0) + 0.0722 * (b ?? 0);
          };
          const pairs = [
            '--ink --ground',
            '--ink --lane',
            '--ink-2 --ground',
            '--ink-2 --lane',
            '--high-text --high',
            '--medium-text --medium',
            '--low-line --ground',
            '--line --ground',
            '--line --lane',
            '--high-line --ground',
            '--medium-line --ground',
            '--risk-1 --risk-0',
          ];
          return Object.fromEntries(
            pairs.map((pair) => {
              const [a = 0, b = 0] = pair
                .split(' ')
                .map(luminance)
                .sort((x, y) => y - x);
              return [pair, (a + 0.05) / (b + 0.05)];
            }),
          );
        }),
      { colorScheme },
    );
    const lines = ['--line --ground', '--line --lane', '--risk-1 --risk-0'];
    for (const [pair, value] of Object.entries(ratio))
      expect(value, pair).toBeGreaterThanOrEqual(lines.includes(pair) ? 3 : 4.5);
  });
});

describe('the reader’s own settings', () => {
  it('nothing moves by itself, with or without reduced motion (WCAG 2.2.2, 2.3.3)', async () => {
    for (const reducedMotion of ['no-preference', 'reduce'] as const) {
      await onPage(
        '/winders/w2',
        async (page) => expect(await page.evaluate(() => document.getAnimations().length)).toBe(0),
        { reducedMotion },
      );
    }
  });

  it('the night theme is kept, and starts from the system’s', async () => {
    await onPage(
      '/',
      async (page) => {
        const theme = () => page.evaluate(() => document.documentElement.dataset['theme']);
        expect(await theme()).toBe('dark');
        await page.getByRole('button', { name: 'day' }).click();
        expect(await theme()).toBe('light');
        await page.reload();
        await page.waitForSelector('h1');
        expect(await theme()).toBe('light');
      },
      { colorScheme: 'dark' },
    );
  });

  it('forced colours keep plates apart by fill, outline, dashes and teeth', async () => {
    await onPage(
      '/',
      async (page) => {
        const look = (level: string) =>
          page
            .locator(`.floor .plate[data-level=${level}]`)
            .first()
            .evaluate((plate) => {
              const edge = plate.querySelector('.plate-edge .line');
              const body = plate.querySelector('.plate-body');
              if (edge === null || body === null) throw new Error('no plate');
              return [
                getComputedStyle(body).backgroundColor,
                getComputedStyle(edge).strokeDasharray !== 'none',
                edge.getAttribute('d'),
                getComputedStyle(body).borderTopWidth,
              ].join('|');
            });
        const looks = await Promise.all(['high', 'medium', 'low', 'unwatched', 'trial'].map(look));
        expect(new Set(looks).size).toBe(5);
      },
      { forcedColors: 'active' },
    );
  });
});
