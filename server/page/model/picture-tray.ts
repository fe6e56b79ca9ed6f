import type { JobInput } from '../../../src/index.js';
import { api, type InFolder, type PictureInfo } from '../api.js';
import { begin, step } from '../history.js';
import { forNextPicture, forSameSettings, type Setup } from '../setup.js';
import { settingsOf } from '../typed.js';
import { save } from './downloads.js';
import { errorMessage } from './error-message.js';
import type { Opening } from './opening.js';
import type { Tray, TrayPicture } from './page-state.js';
import type { Store } from './store.js';
import { upload } from './uploads.js';

/** What is done with several pictures that were given together. */
export function createTrayActions(store: Store, { open }: Opening) {
  /** Shows one of several pictures; `present` is the setup that others may share. */
  const show = (tray: Tray, place: number, present: Setup) => {
    const shown = tray.pictures[place];
    return open(shown.name, async () => {
      const picture = await uploaded(shown);
      const pictures = tray.pictures.with(place, { ...shown, info: picture });
      const setup = setupIn(tray, place, present);
      const history = shown.steps ? step(shown.steps, setup) : begin(setup);
      return { picture, history, tray: { ...tray, pictures, shown: place } };
    });
  };
  return {
    /** Lays several pictures into a tray, and shows the first. */
    openTray: (pictures: readonly Omit<TrayPicture, 'key'>[]) => {
      const { now } = store.setups;
      const keyed = pictures.map((each, key) => ({ ...each, key }));
      const tray: Tray = { pictures: keyed, shown: 0, isShared: true };
      return show(tray, 0, store.state.picture ? forNextPicture(now) : now);
    },
    /** Goes to another picture of the tray. */
    turnTo(place: number) {
      const tray = trayNow(store);
      return tray && show(tray, place, store.setups.now);
    },
    shareSettings(isShared: boolean) {
      const tray = trayNow(store);
      store.change({ tray: tray && { ...tray, isShared } });
    },
    /** Saves all pictures of the tray as one folder. */
    async takeTray() {
      const tray = trayNow(store);
      if (!tray) return;
      store.change({ trouble: undefined });
      try {
        const { name, blob } = await api.folder(await folderOf(tray, store.setups.now));
        save(name, blob);
      } catch (error) {
        store.change({ trouble: errorMessage(error) });
      }
    },
  };
}

/** The tray with the picture that is shown as it stands now. */
function trayNow({ state: { tray, picture }, setups }: Store): Tray | undefined {
  if (!tray || !picture) return tray;
  const pictures = tray.pictures.map((each, place) =>
    place === tray.shown ? { ...each, info: picture, steps: setups } : each,
  );
  return { ...tray, pictures };
}

const uploaded = async ({ info, file, name }: TrayPicture): Promise<PictureInfo> =>
  info ?? upload({ kind: 'file', name, file });

/** The setup of one of the tray's pictures, where `present` is that of the one that is shown. */
function setupIn(tray: Tray, place: number, present: Setup): Setup {
  const own = tray.pictures[place].steps;
  if (own && !tray.isShared) return own.now;
  const shared = forSameSettings(present);
  return own ? { ...shared, job: { ...ofOnePicture(own.now.job), ...shared.job } } : shared;
}

/** What of settings belongs to one picture. */
function ofOnePicture(job: JobInput): JobInput {
  const shared = forSameSettings({ job }).job;
  return Object.fromEntries(Object.entries(job).filter(([name]) => !(name in shared)));
}

/** The tray's pictures, each with its settings, as the server takes them. */
async function folderOf(tray: Tray, present: Setup): Promise<readonly InFolder[]> {
  const folder: InFolder[] = [];
  for (const [place, picture] of tray.pictures.entries()) {
    const { id } = await uploaded(picture);
    const { job, layers } = setupIn(tray, place, present);
    folder.push({ id, job: settingsOf(job), ...(layers && { layers }) });
  }
  return folder;
}
