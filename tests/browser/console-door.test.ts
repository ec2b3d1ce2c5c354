import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { openPage, startBrowser, type WatchedPage } from './console-browser.js';
import { type FakeApi, type FakeFloor, startFakeApi } from './console-fake-api.js';
import { inventedFloor } from './console-floor.js';

let browser: Browser;
let api: FakeApi;
let watched: WatchedPage;
let page: Page;

beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());
afterEach(async () => {
  await page.context().close();
  await api.stop();
});

async function open(path: string, floor: Partial<FakeFloor> = {}): Promise<void> {
  api = await startFakeApi({ winders: inventedFloor(), ...floor });
  watched = await openPage(browser, api.url + path);
  page = watched.page;
}
const head = () => page.locator('header.top');
const changesOf = (path: string) => api.door.changes.filter((change) => change.path === path);

/** Refused requests are logged by the browser itself; everything else is trouble. */
const trouble = () => watched.troubles.filter((words) => !/Failed to load resource.*40[139]|429/.test(words));

async function signIn(name: string, password: string): Promise<void> {
  await page.getByLabel('Name', { exact: true }).fill(name);
  await page.getByLabel('Password', { exact: true }).fill(password);
  await page.keyboard.press('Enter');
}

describe('signing in', () => {
  it('happens in a dialog over the page, shows who is here, and acknowledges at once with the word of the session', async () => {
    await open('/alarms');
    await head().getByRole('button', { name: 'sign in' }).click();
    await signIn('Kim Example', 'operator words');
    await head().getByText('Kim Example, operator').waitFor();
    expect(await page.getByRole('dialog').count()).toBe(0);
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).click();
    await page.getByText('by Kim Example').waitFor();
    expect(api.acknowledged.map(({ acting }) => acting)).toEqual([undefined]);
    const [change] = api.door.changes.filter(({ path }) => path === '/api/session');
    expect(change?.body).toEqual({ name: 'Kim Example', password: 'operator words' });
    expect(trouble()).toEqual([]);
  });

  it('can be done by a password manager: fields are named for it, and nothing refuses paste (WCAG 3.3.8)', async () => {
    await open('/');
    await head().getByRole('button', { name: 'sign in' }).click();
    const name = page.getByLabel('Name', { exact: true });
    const password = page.getByLabel('Password', { exact: true });
    expect(await name.getAttribute('autocomplete')).toBe('username');
    expect(await password.getAttribute('autocomplete')).toBe('current-password');
    await page.evaluate(() => {
      const form = document.querySelector('dialog[open] form');
      form?.addEventListener('paste', (event) => {
        document.body.dataset['paste'] = String(!event.defaultPrevented);
      });
    });
    await password.focus();
    await page.evaluate(() =>
      document.activeElement?.dispatchEvent(
        new ClipboardEvent('paste', { bubbles: true, cancelable: true, clipboardData: new DataTransfer() }),
      ),
    );
    expect(await page.evaluate(() => document.body.dataset['paste'])).toBe('true');
  });

  it('says beside the field what was wrong, and when to try again', async () => {
    await open('/');
    await head().getByRole('button', { name: 'sign in' }).click();
    await page.keyboard.press('Enter');
    expect(await page.getByText('This is needed').count()).toBe(2);
    await signIn('Kim Example', 'wrong words');
    const password = page.getByLabel('Password', { exact: true });
    await page.getByText('Name or password is wrong').waitFor();
    const described = await password.getAttribute('aria-describedby');
    expect(await page.locator(`#${described ?? ''}`).innerText()).toBe('Name or password is wrong');
    await expect.poll(() => password.evaluate((field) => field === document.activeElement)).toBe(true);
    api.door.slowDown(30);
    await page.keyboard.press('Enter');
    await page.getByText('Too many attempts. Try again in 30 s').waitFor();
  });

  it('ends with sign out, and the shared screen goes on', async () => {
    await open('/', { door: { signedInAs: 'Kim Example' } });
    await head().getByRole('button', { name: 'sign out' }).click();
    await head().getByRole('button', { name: 'sign in' }).waitFor();
    await page.getByText('ACT NEXT').waitFor();
    expect(changesOf('/api/session')).toMatchObject([{ method: 'DELETE', token: 'word-of-p2' }]);
  });
});

describe('a session that ends by itself', () => {
  it('leads to sign-in over the page, which keeps what was typed and goes on afterwards', async () => {
    await open('/people', { door: { signedInAs: 'Ada Admin' } });
    await page.getByLabel('Name, as journal and audit shall show it').fill('Noa Example');
    await page.getByLabel('First password').fill('a first long password');
    api.door.endSessions();
    await page.getByRole('button', { name: 'add this person' }).click();
    const dialog = page.getByRole('dialog', { name: 'Sign in again' });
    await dialog.getByText('Your session has ended').waitFor();
    expect(new URL(page.url()).pathname).toBe('/people');
    await signIn('Ada Admin', 'administrator words');
    await dialog.waitFor({ state: 'hidden' });
    expect(await page.getByLabel('Name, as journal and audit shall show it').inputValue()).toBe(
      'Noa Example',
    );
    await page.getByRole('button', { name: 'add this person' }).click();
    await page.getByRole('rowheader', { name: 'Noa Example' }).waitFor();
    expect(trouble()).toEqual([]);
  });

  it('leaves the alarms on the page, and the live stream is back after sign-in where nobody may look without', async () => {
    await open('/winders/w5', { door: { signedInAs: 'Kim Example', openViewing: false } });
    await page.getByText('ACT BY 14:36').waitFor();
    api.door.endSessions();
    api.dropStreams();
    await page.getByRole('dialog', { name: 'Sign in again' }).waitFor();
    expect(await page.locator('em-alarm').first().innerText()).toContain('Wraps will be free to move');
    await page.getByText('this page knows nothing after that').waitFor({ timeout: 15_000 });
    await signIn('Kim Example', 'operator words');
    await page.getByText('data live').first().waitFor({ timeout: 10_000 });
    await page.getByText('ACT BY 14:36').waitFor();
  });
});

describe('a closed door', () => {
  it('shows nothing but the sign-in, and asks the service for nothing', async () => {
    await open('/winders/w5', { door: { openViewing: false } });
    await page.getByRole('heading', { name: 'Sign in' }).waitFor();
    const text = await page.locator('body').innerText();
    expect(text).not.toMatch(/Winder|ACT|alarms|night/);
    expect(watched.troubles).toEqual([]);
    await signIn('Vic Viewer', 'viewer words');
    await page.getByText('ACT BY 14:36').waitFor();
    expect(new URL(page.url()).pathname).toBe('/winders/w5');
    await head().getByRole('button', { name: 'sign out' }).click();
    await page.getByRole('heading', { name: 'Sign in' }).waitFor();
    expect(await page.locator('body').innerText()).not.toMatch(/WRAPS|830/);
  });
});

describe('what a role may not', () => {
  it('is said on the button instead of failing', async () => {
    await open('/alarms', { door: { signedInAs: 'Vic Viewer' } });
    const button = page.getByRole('button', { name: /acknowledge not as viewer: Winder 2/ });
    expect(await button.innerText()).toContain('not as viewer');
    expect(await button.getAttribute('aria-disabled')).toBe('true');
    await button.press('Enter');
    await page
      .getByText('Operator, maintenance and engineer acknowledge alarms; a viewer does not')
      .waitFor();
    expect(api.acknowledged).toEqual([]);
  });

  it('has no link to a page that does not open, and the page says so', async () => {
    await open('/audit', { door: { demo: true } });
    for (const [name, links] of [
      ['Vic Viewer', []],
      ['Kim Example', []],
      ['Mo Maintenance', ['service']],
      ['Eve Engineer', ['service', 'audit']],
      ['Ada Admin', ['service', 'people', 'keys', 'audit']],
    ] as const) {
      await head()
        .getByRole('button', { name: `act as ${name}` })
        .click();
      await head()
        .getByRole('button', { name: `act as ${name}`, pressed: true })
        .waitFor();
      expect(await head().locator('.here a:not(.person)').allInnerTexts(), name).toEqual(links);
      const title = links.some((link) => link === 'audit')
        ? 'Audit, newest first'
        : 'This page is not for everybody';
      await page.getByRole('heading', { name: title }).waitFor();
    }
  });
});

describe('the administrator', () => {
  it('adds people, changes roles, keeps people out and sets passwords, each with the word of the session', async () => {
    await open('/people', { door: { signedInAs: 'Ada Admin' } });
    await page.getByLabel('role of Kim Example').selectOption('engineer');
    await page.getByText('Kim Example is now engineer.').waitFor();
    await page.getByLabel('Lou Example may come in').click();
    await page.getByText('Lou Example may no longer come in.').waitFor();
    await page.getByRole('button', { name: 'new password for Kim Example' }).click();
    await page.getByRole('textbox', { name: 'New password' }).fill('entirely new words');
    await page.keyboard.press('Enter');
    await page.getByText('Kim Example has a new password.').waitFor();
    await page.getByLabel('Name, as journal and audit shall show it').fill('<b>Noa</b>');
    await page.getByLabel('First password').fill('short');
    await page.getByRole('button', { name: 'add this person' }).click();
    await page.getByText('At least 12 characters').waitFor();
    await page.getByLabel('First password').fill('long enough words');
    await page.keyboard.press('Enter');
    await page.getByRole('rowheader', { name: '<b>Noa</b>' }).waitFor();
    const people = api.door.people();
    expect(people.find(({ name }) => name === 'Kim Example')?.role).toBe('engineer');
    expect(people.find(({ name }) => name === 'Lou Example')?.active).toBe(false);
    expect(new Set(api.door.changes.map(({ token }) => token))).toEqual(new Set(['word-of-p0']));
    expect(trouble().filter((words) => !words.includes('400'))).toEqual([]);
  });

  it('sees a new key once, and ends it', async () => {
    await open('/keys', { door: { signedInAs: 'Ada Admin' } });
    await page.getByLabel('What it is for').fill('historian <i>1</i>');
    await page.getByLabel('look at winders').check();
    await page.getByLabel('Days until it ends').fill('400');
    await page.getByRole('button', { name: 'make this key' }).click();
    await page.getByText('1 to 366', { exact: true }).waitFor();
    await page.getByLabel('Days until it ends').fill('30');
    await page.keyboard.press('Enter');
    const field = page.getByLabel('Key', { exact: true });
    expect(await field.inputValue()).toBe('em_inventedkeythatopensnothing');
    await page.getByRole('button', { name: 'copy' }).click();
    await page.getByText(/Copied\.|by hand/).waitFor();
    await page.getByRole('button', { name: 'I have it, put it away' }).click();
    expect(await page.locator('body').innerText()).not.toContain('inventedkey');
    await page.getByRole('button', { name: 'end it: the key for historian <i>1</i>' }).click();
    await page.getByRole('button', { name: 'end it now: the key for historian <i>1</i>' }).click();
    await page.getByText('There is no key.').waitFor();
  });
});

describe('one’s own account', () => {
  it('changes password and PIN with the present password, and takes the PIN away', async () => {
    await open('/account', { door: { signedInAs: 'Kim Example' } });
    const password = page.getByRole('region', { name: 'Password' });
    await password.getByLabel('Present password').fill('wrong');
    await password.getByLabel('New password').fill('entirely new words');
    await page.keyboard.press('Enter');
    await password.getByText('The present password is wrong').waitFor();
    await password.getByLabel('Present password').fill('operator words');
    await password.getByLabel('New password').fill('entirely new words');
    await page.keyboard.press('Enter');
    await password.getByText('Changed.').waitFor();
    const pin = page.getByRole('region', { name: 'PIN' });
    await pin.getByText('take the PIN away').first().click();
    await pin.locator('details').getByLabel('Present password').fill('entirely new words');
    await page.keyboard.press('Enter');
    await pin.getByText('No PIN is set.').waitFor();
    expect(changesOf('/api/session/pin').map(({ body }) => body)).toEqual([
      { password: 'entirely new words', newPin: null },
    ]);
  });
});

describe('the first administrator', () => {
  it('comes with the word of the address, which leaves the address at once', async () => {
    await open('/first-administrator#word=once-only', {
      door: { openViewing: false, people: [], needsFirstAdministrator: true },
    });
    await page.getByLabel('Your name').fill('Ada Admin');
    expect(page.url()).toBe(`${api.url}/first-administrator`);
    await page.getByLabel('A password').fill('administrator words');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'People' }).waitFor();
    await head().getByText('Ada Admin, administrator').waitFor();
    expect(changesOf('/api/first-administrator').map(({ body }) => body)).toEqual([
      { word: 'once-only', name: 'Ada Admin', password: 'administrator words' },
    ]);
  });
});

describe('the demonstration door', () => {
  it('says what it is and lets anybody be anybody', async () => {
    await open('/', { door: { demo: true } });
    await head().getByText('Demonstration door: act as').waitFor();
    for (const name of ['Eve Engineer', 'Kim Example']) {
      await head()
        .getByRole('button', { name: `act as ${name}` })
        .click();
      await head()
        .getByRole('button', { name: `act as ${name}`, pressed: true })
        .waitFor();
      await head().getByRole('link', { name: 'account' }).click();
      await page.getByRole('heading', { name }).waitFor();
    }
    expect(await head().getByRole('button', { pressed: true }).count()).toBe(1);
  });
});
