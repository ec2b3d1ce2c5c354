import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

/**
 * The real services the tests talk to, and the ways in which each can be had, in this order: installed on this machine,
 * in a container where an engine answers, installed from the Debian packages (only by `npm test`, which says so first).
 */
export const services = {
  mosquitto: {
    programs: ['/usr/sbin/mosquitto', '/usr/local/sbin/mosquitto', '/opt/homebrew/sbin/mosquitto'],
    override: 'MOSQUITTO_PATH',
    image: process.env.MOSQUITTO_IMAGE ?? 'eclipse-mosquitto:2',
    packages: ['mosquitto', 'mosquitto-clients'],
  },
  influxdb: {
    programs: ['/usr/bin/influxd', '/usr/sbin/influxd', '/opt/homebrew/bin/influxd'],
    override: 'INFLUXD_PATH',
    image: process.env.INFLUXDB_IMAGE ?? 'influxdb:1.8',
    packages: ['influxdb'],
  },
  chromium: {
    programs: ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'],
    override: 'CHROMIUM_PATH',
    image: undefined,
    packages: ['chromium', 'fonts-liberation'],
    /** Without a font whose widths are known, texts take another room on the pages that the tests measure. */
    font: '/usr/share/fonts/truetype/liberation/LiberationSans-Regular.ttf',
  },
};

/** The path of the installed program, or undefined. TEST_SERVICES=container passes over what is installed where a container can stand in. */
export function installedProgram(name) {
  const { programs, override, image } = services[name];
  if (process.env.TEST_SERVICES === 'container' && image !== undefined) return undefined;
  const asked = process.env[override];
  if (asked !== undefined) {
    if (!existsSync(asked)) throw new Error(`${override}: ${asked} does not exist`);
    return asked;
  }
  return programs.find((path) => existsSync(path));
}

/** True where the service asks for no font, or finds it. */
export function hasFonts(name) {
  const { font } = services[name];
  return font === undefined || existsSync(font);
}

/** True where a container engine answers. */
export function containerEngineAnswers() {
  const probe = spawnSync('docker', ['version', '--format', '{{.Server.Version}}'], {
    encoding: 'utf8',
    timeout: 10_000,
  });
  return probe.status === 0 && probe.stdout.trim() !== '';
}

/** True where Debian packages can be installed by this user. */
export function canInstallPackages() {
  return process.getuid?.() === 0 && existsSync('/usr/bin/apt-get');
}

/** The one command that would help where a service cannot be had. */
export function helpFor(name) {
  const { packages, image } = services[name];
  const container = image === undefined ? '' : `, or start a container engine that can run ${image}`;
  return `${name} is needed by the tests and was not found. On Debian: sudo apt-get install ${packages.join(' ')}${container}`;
}

/** How to reach a service here and now; throws with the one command that would help. */
export function provide(name) {
  const path = installedProgram(name);
  if (path !== undefined) return { way: 'program', path };
  const { image } = services[name];
  if (image !== undefined && containerEngineAnswers()) return { way: 'container', image };
  throw new Error(helpFor(name));
}
