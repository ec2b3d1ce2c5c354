// `npm test`: provides the real services, builds what the end-to-end tests start, and runs every test.
import { spawnSync } from 'node:child_process';
import {
  canInstallPackages,
  containerEngineAnswers,
  hasFonts,
  helpFor,
  installedProgram,
  services,
} from './services/support/provide.mjs';

const run = (command, args) => spawnSync(command, args, { stdio: 'inherit' }).status ?? 1;

const missing = Object.keys(services).filter(
  (name) =>
    (installedProgram(name) === undefined &&
      !(services[name].image !== undefined && containerEngineAnswers())) ||
    (!hasFonts(name) && canInstallPackages()),
);
if (missing.length > 0) {
  if (!canInstallPackages()) {
    for (const name of missing) console.error(helpFor(name));
    process.exit(1);
  }
  const packages = missing.flatMap((name) => services[name].packages);
  console.log(
    `Installing from the Debian packages, because the tests use the real ones: ${packages.join(' ')}`,
  );
  process.env.DEBIAN_FRONTEND = 'noninteractive';
  if (
    run('apt-get', ['update', '-qq']) !== 0 ||
    run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...packages]) !== 0
  ) {
    for (const name of missing) console.error(helpFor(name));
    process.exit(1);
  }
}
for (const name of Object.keys(services)) {
  console.log(`${name}: ${installedProgram(name) ?? `container ${services[name].image}`}`);
}

const built = run('npm', ['run', '--silent', 'build']);
if (built !== 0) process.exit(built);
process.exit(
  run('npx', ['vitest', 'run', '--config', '.config/vitest.config.mjs', ...process.argv.slice(2)]),
);
