import type { AlarmView } from '@edge-margin/alarms';
import type {
  Effect,
  ServiceView,
  StationAssessment,
  StationView,
  WinderView,
} from '@edge-margin/monitoring';
import type { PlantFile, Winder } from '@edge-margin/plant';

/** What is known now, kept from the effects as they are committed: the latest assessment of each station and every alarm that still matters. */
export class Present {
  readonly #assessments = new Map<string, StationAssessment>();
  readonly #alarms = new Map<string, AlarmView>();
  #plant: PlantFile | undefined;

  /** Takes over the plant that holds from now on; stations that are gone are forgotten. */
  usePlant(plant: PlantFile): void {
    this.#plant = plant;
    const keys = new Set(
      winders(plant).flatMap(({ winder }) => winder.stations.map((station) => `${winder.id}/${station.id}`)),
    );
    for (const key of this.#assessments.keys()) if (!keys.has(key)) this.#assessments.delete(key);
  }

  restoreAlarms(views: Iterable<AlarmView>): void {
    for (const view of views) this.#keep(view);
  }

  /** Takes in one committed effect. */
  take(effect: Effect): void {
    if (effect.kind === 'assessment') {
      const { winderId, stationId } = effect.assessment;
      this.#assessments.set(`${winderId}/${stationId}`, effect.assessment);
    } else if (effect.kind === 'alarm-transition') this.#keep(effect.transition.alarm);
    else if (effect.kind === 'alarm-view') this.#keep(effect.view);
  }

  assessments(): Iterable<StationAssessment> {
    return this.#assessments.values();
  }

  alarms(): readonly AlarmView[] {
    return [...this.#alarms.values()].sort(
      (a, b) => a.raisedAtMs - b.raisedAtMs || (a.alarmKey < b.alarmKey ? -1 : 1),
    );
  }

  winders(): readonly WinderView[] {
    return this.#plant === undefined ? [] : winders(this.#plant).map((found) => this.#view(found));
  }

  winder(id: string): WinderView | undefined {
    return this.winders().find((winder) => winder.id === id);
  }

  display(): ServiceView['display'] {
    return this.#plant?.display ?? 'metric';
  }

  #keep(view: AlarmView): void {
    if (view.state === 'NORM') this.#alarms.delete(view.alarmKey);
    else this.#alarms.set(view.alarmKey, view);
  }

  #view({ winder, areaName, lineName }: Found): WinderView {
    return {
      id: winder.id,
      name: winder.name,
      areaName,
      lineName,
      simulated: winder.simulated,
      stations: winder.stations.map((station): StationView => ({
        id: station.id,
        name: station.name,
        assessment: this.#assessments.get(`${winder.id}/${station.id}`) ?? null,
        alarms: this.alarms().filter(
          (alarm) => alarm.winderId === winder.id && alarm.stationId === station.id,
        ),
        nip:
          station.nip === null
            ? null
            : { kind: station.nip.kind, rollerDiameterM: station.nip.rollerDiameterM },
        machineLimits: {
          speedMaxMPerS: winder.limits.speedMPerS.max,
          diameterMaxM: winder.limits.diameterM.max,
        },
      })),
    };
  }
}

interface Found {
  readonly winder: Winder;
  readonly areaName: string;
  readonly lineName: string;
}

function winders(plant: PlantFile): Found[] {
  return plant.areas.flatMap((area) =>
    area.lines.flatMap((line) =>
      line.winders.map((winder) => ({ winder, areaName: area.name, lineName: line.name })),
    ),
  );
}
