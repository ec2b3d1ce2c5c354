/** Whether an Accept header (RFC 9110, 12.5.1) takes OpenMetrics text of version 1.0.0; a missing header takes everything. */
export function acceptsOpenMetrics(accept: string | undefined): boolean {
  if (accept === undefined || accept.trim() === '') return true;
  return accept.split(',').some((range) => {
    const [type, ...parameters] = range.split(';').map((part) => part.trim().toLowerCase());
    const of = (name: string): string | undefined =>
      parameters.find((parameter) => parameter.startsWith(`${name}=`))?.slice(name.length + 1);
    if (Number(of('q') ?? 1) === 0) return false;
    if (type === '*/*' || type === 'application/*') return true;
    return type === 'application/openmetrics-text' && ['1.0.0', undefined].includes(of('version'));
  });
}
