/** The measured signals the service understands, what each means and how it may be given. To add a signal, add a row. */
export const signalKinds = {
  speed: {
    unit: 'm/s',
    value: 'number',
    perEnd: false,
    perWidth: false,
    meaning: 'web speed at the winding roll',
  },
  diameter: {
    unit: 'm',
    value: 'number',
    perEnd: false,
    perWidth: false,
    meaning: 'outside diameter of the winding roll',
  },
  tension: {
    unit: 'N/m',
    value: 'number',
    perEnd: false,
    perWidth: true,
    meaning: 'web tension per width at the wind-up',
  },
  nipLoad: {
    unit: 'N/m',
    value: 'number',
    perEnd: true,
    perWidth: true,
    meaning: 'nip load per contact width; positive closes the nip',
  },
  nipLoadSwing: {
    unit: '1',
    value: 'number',
    perEnd: true,
    perWidth: false,
    meaning: 'swing of the nip load: (mean - minimum) / mean of the load within the block',
  },
  nipAcceleration: {
    unit: 'm/s2',
    value: 'number',
    perEnd: true,
    perWidth: false,
    meaning: 'peak acceleration of the nip roller within the block; positive towards the winding roll',
  },
  cylinderPressure: {
    unit: 'Pa',
    value: 'number',
    perEnd: true,
    perWidth: false,
    meaning: 'gauge pressure on the closing side of the nip cylinders, where the nip load is not measured',
  },
  riderLoad: {
    unit: 'N/m',
    value: 'number',
    perEnd: false,
    perWidth: true,
    meaning:
      'load of the rider roll of a two-drum winder per contact width, where the load on the drums is not measured',
  },
  coreRotation: {
    unit: '1/s',
    value: 'number',
    perEnd: false,
    perWidth: false,
    meaning: 'rotation frequency of the core',
  },
  woundLength: {
    unit: 'm',
    value: 'number',
    perEnd: false,
    perWidth: false,
    meaning: 'length wound on the roll since its start',
  },
  winding: {
    unit: '1',
    value: 'number',
    perEnd: false,
    perWidth: false,
    meaning: '1 while a roll is being wound, 0 between rolls',
  },
  setEndDiameter: {
    unit: 'm',
    value: 'number',
    perEnd: false,
    perWidth: false,
    meaning: 'diameter at which the set is planned to end',
  },
  airTemperature: {
    unit: 'K',
    value: 'number',
    perEnd: false,
    perWidth: false,
    meaning: 'temperature of the air at the winder',
  },
  airPressure: {
    unit: 'Pa',
    value: 'number',
    perEnd: false,
    perWidth: false,
    meaning: 'ambient pressure at the place, not reduced to sea level',
  },
  airHumidity: {
    unit: '1',
    value: 'number',
    perEnd: false,
    perWidth: false,
    meaning: 'relative humidity of the air at the winder',
  },
  grade: {
    unit: '',
    value: 'text',
    perEnd: false,
    perWidth: false,
    meaning: 'id of the product grade that is being wound',
  },
} as const satisfies Record<string, SignalKind>;

interface SignalKind {
  /** UCUM code of the SI unit inside the service. */
  readonly unit: string;
  readonly value: 'number' | 'text';
  /** May be given for the tending side and the drive side apart. */
  readonly perEnd: boolean;
  /** May be given as a total over the width; it is then divided by the web width at the station. */
  readonly perWidth: boolean;
  readonly meaning: string;
}

export type SignalName = keyof typeof signalKinds;
export const signalNames = Object.keys(signalKinds) as readonly SignalName[];

/** Which end of the nip: tending (operator's) side, drive side, or not told apart. */
export type End = 'tending' | 'drive' | 'both';
