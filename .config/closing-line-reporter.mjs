/** Prints the plain closing line `N passed, N failed` (and `, N skipped` where there are any) after the run, and before it what was not tried. */
export default class ClosingLine {
  #remark;

  constructor({ remark } = {}) {
    this.#remark = remark;
  }

  onTestRunEnd(modules, unhandledErrors = []) {
    const count = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      let inModule = 0;
      for (const test of module.children.allTests()) {
        inModule += 1;
        const state = test.result().state;
        count[state === 'passed' || state === 'failed' ? state : 'skipped'] += 1;
      }
      if (inModule === 0 && module.state() === 'failed') count.failed += 1;
    }
    count.failed += unhandledErrors.length;
    const skipped = count.skipped > 0 ? `, ${count.skipped} skipped` : '';
    const remark = this.#remark === undefined ? '' : `\n${this.#remark}\n`;
    setImmediate(() =>
      process.stdout.write(`${remark}\n${count.passed} passed, ${count.failed} failed${skipped}\n`),
    );
  }
}
