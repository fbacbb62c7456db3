#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/chords/key.h"
#include "theory/text/errors.h"

namespace romanesca {

/// A day of the calendar.
using Date = std::chrono::year_month_day;

/// Reads an ISO 8601 calendar date in the extended form, "2026-11-20", of the years 1900 to 2999; nothing for any
/// other text and for days that do not exist.
[[nodiscard]] std::optional<Date> parse_date(std::string_view text);
/// The same form. @param date one that exists.
[[nodiscard]] std::string to_string(const Date& date);

/// The date of an option, or an error with the form that is expected. @param option its name.
[[nodiscard]] Result<Date> date_given(const std::string& option, const std::string& text);

/// The date on this computer's calendar.
[[nodiscard]] Date local_date();

/// What a teacher says about a student.
struct Profile {
  std::string name;                ///< or initials: clean text (plain_text.h), not a number
  int level = 1;                   ///< 1 to 8
  int span = 0;                    ///< of a hand, 5 to 16 semitones; 0 for that of the level
  std::vector<Key> keys;           ///< known, in the order in which they were named; each can be written
  std::vector<std::string> likes;  ///< clean words without a comma
  friend bool operator==(const Profile&, const Profile&) = default;
};

/// A student of the record.
struct Student {
  std::int64_t id = 0;  ///< from 1; never given twice in one record
  std::string uid;      ///< 16 hexadecimal digits: identifies the same student in an import, whatever the name
  Profile profile;
  Date since;    ///< when added
  Date changed;  ///< when the profile was last changed
  friend bool operator==(const Student&, const Student&) = default;
};

/// Kind of an entry: given as a task, finished, chosen by the student, not done by the next lesson, or a remark.
enum class EntryKind { set, done, chosen, missed, note };
inline constexpr std::array all_entry_kinds{EntryKind::set, EntryKind::done, EntryKind::chosen, EntryKind::missed,
                                            EntryKind::note};
[[nodiscard]] std::string_view to_string(EntryKind kind);
/// Reads these words; nothing for any other.
[[nodiscard]] std::optional<EntryKind> parse_entry_kind(std::string_view word);

/// One line of a student's history. What there is of an exercise, level, key and seed makes the same exercise again.
struct Entry {
  int number = 0;  ///< within the student's history, from 1 in the order of writing
  Date date;
  EntryKind kind = EntryKind::note;
  std::string exercise;              ///< its id, or empty
  std::optional<Key> key;            ///< of the exercise
  int level = 0;                     ///< of the exercise, 1 to 8; 0 for none
  std::optional<std::int64_t> seed;  ///< of the exercise, 0 to 2^53 - 1, so that every JSON reader keeps it
  std::string choice;                ///< "A", "B" or "C" of the three proposed; else empty
  int about = 0;                     ///< number of the entry that this one answers; 0 for none
  std::string text;                  ///< clean text; may be empty
  friend bool operator==(const Entry&, const Entry&) = default;
};
inline constexpr std::int64_t largest_seed = (std::int64_t{1} << 53) - 1;

/// A version of a song that the student makes.
struct SongVersion {
  std::string title;  ///< clean text, 1 to longest_title code points; the same in all its versions
  int version = 0;    ///< from 1 in the order of writing
  Date date;
  std::string text;  ///< a song in the program's own form (write_progression), at most longest_song_kept bytes
  friend bool operator==(const SongVersion&, const SongVersion&) = default;
};
inline constexpr std::size_t longest_title = 120;                         // code points
inline constexpr std::size_t longest_song_kept = std::size_t{256} << 10;  // bytes

/// A student with all that is written about them.
struct StudentRecord {
  Student student;
  std::vector<Entry> entries;        ///< by number
  std::vector<SongVersion> songs{};  ///< by title, then by version
  friend bool operator==(const StudentRecord&, const StudentRecord&) = default;
};

/// Given or chosen, and neither done nor missed since; by number.
[[nodiscard]] std::vector<Entry> open_entries(const std::vector<Entry>& entries);

/// A hash of a text (FNV-1a, 64 bits: Fowler, Noll and Vo; draft-eastlake-fnv), the same on every machine.
[[nodiscard]] std::uint64_t text_hash(std::string_view text) noexcept;
/// The uid of a new student: the hash of these three.
[[nodiscard]] std::string uid_of(std::string_view name, const Date& since, std::int64_t id);

/// "C major, A minor"
[[nodiscard]] std::string to_string(const std::vector<Key>& keys);

}  // namespace romanesca
