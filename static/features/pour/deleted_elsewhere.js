// Says that the unfinished note was deleted on another device, because a new one takes its place on the screen.
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { showToast } from '../../components/layout/toast.js';
import { restoreNote } from '../../domain/blind/remove_note.js';
import { deletedElsewhere } from '../../store/deleted_tastings.js';

/** @param {string} id of the tasting that was open */
export async function sayDeletion(id) {
  const row = await deletedElsewhere(id);
  if (!row) return;
  const putBack = async () => {
    await restoreNote(row);
    navigate(`/pour/${id}/note`);
  };
  showToast(t('pour.deleted_elsewhere'), putBack, { label: t('book.restore'), isOffer: true });
}
