// Asks the service in the same container whether it is alive; exit code 0 if it says so. `ready` as argument asks for readiness instead.
// Over TLS the certificate is not checked: it is the plant's, for the plant's name, and here it is asked by the loopback address.
import { request as plain } from 'node:http';
import { request as secure } from 'node:https';

const question = process.argv[2] === 'ready' ? 'ready' : 'live';
const port = Number(process.env.HTTP_PORT ?? 8080);
const overTls = (process.env.HTTP_TLS_CERT_FILE ?? '') !== '';

const asked = (overTls ? secure : plain)(
  { host: '127.0.0.1', port, path: `/health/${question}`, timeout: 4000, rejectUnauthorized: false },
  (response) => {
    response.pipe(process.stdout);
    response.once('end', () => {
      process.exitCode = response.statusCode === 200 ? 0 : 1;
    });
  },
);
asked.once('timeout', () => asked.destroy(new Error('no answer within 4 s')));
asked.once('error', (error) => {
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 1;
});
asked.end();
