#include "core/run/mdr_event.h"

#include <string.h>

#include "core/plan/mdr_pick.h"

MDR_PICK(mdr_event_id, mdr_event_kind, MDR_EVENTS(MDR_PICK_ID))
MDR_PICK(mdr_event_words, mdr_event_kind, MDR_EVENTS(MDR_PICK_WORDS))
MDR_PICK(mdr_decision_id, mdr_decision, MDR_DECISIONS(MDR_PICK_ID))
MDR_PICK(mdr_decision_words, mdr_decision, MDR_DECISIONS(MDR_PICK_WORDS))
MDR_PICK(mdr_interrupt_id, mdr_interrupt, MDR_INTERRUPTS(MDR_PICK_ID))
MDR_PICK(mdr_interrupt_words, mdr_interrupt, MDR_INTERRUPTS(MDR_PICK_WORDS))

mdr_event mdr_event_none(mdr_event_kind kind)
{
    return (mdr_event){.kind = kind,
                       .batch_id = "",
                       .by = "",
                       .entry_id = "",
                       .step = "",
                       .material_id = "",
                       .stock_lot = "",
                       .scale_id = "",
                       .instrument = "",
                       .decision = MDR_DECISION_COUNT,
                       .interrupt = MDR_INTERRUPT_COUNT,
                       .field = "",
                       .was = "",
                       .is = "",
                       .text = "",
                       .meaning = "",
                       .signed_by = "",
                       .signed_name = "",
                       .signed_as = "",
                       .recipe_sha256 = "",
                       .remedy_id = ""};
}

const char *mdr_event_person(const mdr_event *e)
{
    return e->signed_by[0] != '\0' ? e->signed_by : e->by;
}

int mdr_event_of(const char *id)
{
    for (int k = 0; k < MDR_EVENT_COUNT; k++) {
        if (strcmp(mdr_event_id((mdr_event_kind)k), id) == 0) {
            return k;
        }
    }
    return -1;
}

int mdr_decision_of(const char *id)
{
    for (int k = 0; k < MDR_DECISION_COUNT; k++) {
        if (strcmp(mdr_decision_id((mdr_decision)k), id) == 0) {
            return k;
        }
    }
    return -1;
}

int mdr_interrupt_of(const char *id)
{
    for (int k = 0; k < MDR_INTERRUPT_COUNT; k++) {
        if (strcmp(mdr_interrupt_id((mdr_interrupt)k), id) == 0) {
            return k;
        }
    }
    return -1;
}

bool mdr_interrupt_outside(mdr_interrupt k)
{
    return k == MDR_INTERRUPT_STEAM || k == MDR_INTERRUPT_WATER || k == MDR_INTERRUPT_POWER ||
           k == MDR_INTERRUPT_PERSON;
}
